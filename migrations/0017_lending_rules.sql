-- What the club allows: one row. Empty where it sets no limit.
CREATE TABLE lending_rule (
    id                  INTEGER PRIMARY KEY CHECK (id = 1),
    longest_nights      INTEGER NOT NULL DEFAULT 31
        CONSTRAINT lending_rule_longest CHECK (longest_nights BETWEEN 1 AND 366),
    ahead_nights        INTEGER NOT NULL DEFAULT 366
        CONSTRAINT lending_rule_ahead CHECK (ahead_nights BETWEEN 1 AND 366),
    open_reservations   INTEGER
        CONSTRAINT lending_rule_open CHECK (open_reservations BETWEEN 1 AND 1000),
    items_at_once       INTEGER
        CONSTRAINT lending_rule_items CHECK (items_at_once BETWEEN 1 AND 1000),
    -- How long a filter's light test counts. Never more than a year.
    light_test_months   INTEGER NOT NULL DEFAULT 12
        CONSTRAINT lending_rule_light_test CHECK (light_test_months BETWEEN 1 AND 12),
    version             INTEGER NOT NULL DEFAULT 1
) STRICT;
INSERT INTO lending_rule (id) VALUES (1);

-- What the club asks for single pieces.
CREATE TABLE item_rule (
    item_id           INTEGER PRIMARY KEY REFERENCES item (id) ON DELETE CASCADE,
    needs_approval    INTEGER NOT NULL DEFAULT 0
        CONSTRAINT item_rule_approval CHECK (needs_approval IN (0, 1)),
    needs_training    INTEGER NOT NULL DEFAULT 0
        CONSTRAINT item_rule_training CHECK (needs_training IN (0, 1)),
    -- Nights to look after it when it is back.
    turnaround_nights INTEGER NOT NULL DEFAULT 0
        CONSTRAINT item_rule_turnaround CHECK (turnaround_nights BETWEEN 0 AND 3)
) STRICT;

-- Who has been shown how to use a piece that needs training.
CREATE TABLE item_training (
    item_id    INTEGER NOT NULL REFERENCES item (id) ON DELETE CASCADE,
    member_id  INTEGER NOT NULL REFERENCES member (id) ON DELETE CASCADE,
    shown_on   TEXT NOT NULL
        CONSTRAINT item_training_day CHECK (length(shown_on) = 10 AND shown_on = date(shown_on)),
    PRIMARY KEY (item_id, member_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX item_training_by_member ON item_training (member_id);

-- Nights on which the club lends nothing.
CREATE TABLE closed_night (
    night  TEXT PRIMARY KEY
        CONSTRAINT closed_night_is_a_date CHECK (length(night) = 10 AND night = date(night)),
    reason TEXT NOT NULL DEFAULT '' CONSTRAINT closed_night_reason CHECK (length(reason) <= 200)
) STRICT, WITHOUT ROWID;
