-- What somebody saw when they looked a piece over, and how they left it.
CREATE TABLE inspection (
    id       INTEGER PRIMARY KEY AUTOINCREMENT,
    item_id  INTEGER NOT NULL REFERENCES item (id) ON DELETE CASCADE,
    day      TEXT NOT NULL
        CONSTRAINT inspection_day CHECK (length(day) = 10 AND day = date(day)),
    finding  TEXT NOT NULL
        CONSTRAINT inspection_finding CHECK (
            length(trim(finding)) > 0 AND length(finding) <= 1000
        ),
    state    TEXT NOT NULL
        CONSTRAINT inspection_state CHECK (
            state IN ('in_service', 'needs_inspection', 'in_repair', 'missing', 'retired')
        ),
    -- Seconds since 1970.
    noted_at INTEGER NOT NULL CONSTRAINT inspection_noted_at CHECK (noted_at >= 0),
    noted_by INTEGER REFERENCES account (id) ON DELETE SET NULL
) STRICT;
CREATE INDEX inspection_by_item ON inspection (item_id, day);
CREATE INDEX inspection_by_account ON inspection (noted_by) WHERE noted_by IS NOT NULL;

-- What has to be done to a piece again and again: after so many months, or so many loans.
CREATE TABLE upkeep (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    item_id      INTEGER NOT NULL REFERENCES item (id) ON DELETE CASCADE,
    what         TEXT NOT NULL
        CONSTRAINT upkeep_what CHECK (length(trim(what)) > 0 AND length(what) <= 120),
    every_months INTEGER CONSTRAINT upkeep_months CHECK (every_months BETWEEN 1 AND 120),
    every_loans  INTEGER CONSTRAINT upkeep_loans CHECK (every_loans BETWEEN 1 AND 1000),
    last_done    TEXT NOT NULL
        CONSTRAINT upkeep_last_done CHECK (length(last_done) = 10 AND last_done = date(last_done)),
    CONSTRAINT upkeep_comes_round CHECK (every_months IS NOT NULL OR every_loans IS NOT NULL)
) STRICT;
CREATE INDEX upkeep_by_item ON upkeep (item_id);

-- A piece's life, and how often it went out since.
CREATE INDEX custody_by_item ON custody (item_id, handed_at);
