-- More of what a club may limit; empty where it sets no limit.
ALTER TABLE lending_rule ADD COLUMN telescopes_at_once INTEGER
    CONSTRAINT lending_rule_telescopes CHECK (telescopes_at_once BETWEEN 1 AND 1000);
-- Of what is promised or out at a time, in whole units of whatever the club counts in.
ALTER TABLE lending_rule ADD COLUMN worth_at_once INTEGER
    CONSTRAINT lending_rule_worth CHECK (worth_at_once BETWEEN 1 AND 1000000);
-- Nights in the year that ends with the last one asked for.
ALTER TABLE lending_rule ADD COLUMN nights_in_a_year INTEGER
    CONSTRAINT lending_rule_nights CHECK (nights_in_a_year BETWEEN 1 AND 1000);
-- For how many nights what nobody fetches is kept; to the last night where none is set.
ALTER TABLE lending_rule ADD COLUMN kept_nights INTEGER
    CONSTRAINT lending_rule_kept CHECK (kept_nights BETWEEN 1 AND 366);
-- The share of the telescopes in service that only outreach may reserve, in hundredths.
ALTER TABLE lending_rule ADD COLUMN outreach_percent INTEGER NOT NULL DEFAULT 0
    CONSTRAINT lending_rule_outreach CHECK (outreach_percent BETWEEN 0 AND 90);

-- A piece for which whoever gave no year of birth counts as under age.
ALTER TABLE item_rule ADD COLUMN asks_age INTEGER NOT NULL DEFAULT 0
    CONSTRAINT item_rule_age CHECK (asks_age IN (0, 1));

-- Whether an outreach lead made it for an evening of the club's.
ALTER TABLE reservation ADD COLUMN outreach INTEGER NOT NULL DEFAULT 0
    CONSTRAINT reservation_outreach CHECK (outreach IN (0, 1));
-- Whether its owner cancelled it when its first night had come.
ALTER TABLE reservation ADD COLUMN cancelled_late INTEGER NOT NULL DEFAULT 0
    CONSTRAINT reservation_cancelled_late CHECK (cancelled_late IN (0, 1));
