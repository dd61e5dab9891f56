-- Taking stock: one count at a time, what was seen on the way, and the record of how it came out.
CREATE TABLE stock_count (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    -- Seconds since 1970.
    started_at  INTEGER NOT NULL CONSTRAINT stock_count_started CHECK (started_at >= 0),
    started_by  INTEGER REFERENCES account (id) ON DELETE SET NULL,
    ended_at    INTEGER,
    ended_by    INTEGER REFERENCES account (id) ON DELETE SET NULL,
    -- The name of whoever answers for it.
    signed_name TEXT CONSTRAINT stock_count_signed CHECK (length(signed_name) BETWEEN 1 AND 120),
    CONSTRAINT stock_count_ends_after_it_begins CHECK (ended_at >= started_at),
    CONSTRAINT stock_count_is_signed CHECK ((ended_at IS NULL) = (signed_name IS NULL))
) STRICT;
-- The promise that nobody counts beside somebody else's count.
CREATE UNIQUE INDEX stock_count_is_one ON stock_count ((1)) WHERE ended_at IS NULL;
CREATE INDEX stock_count_by_starter ON stock_count (started_by) WHERE started_by IS NOT NULL;
CREATE INDEX stock_count_by_ender ON stock_count (ended_by) WHERE ended_by IS NOT NULL;

CREATE TABLE stock_seen (
    count_id INTEGER NOT NULL REFERENCES stock_count (id) ON DELETE CASCADE,
    item_id  INTEGER NOT NULL REFERENCES item (id) ON DELETE CASCADE,
    seen_at  INTEGER NOT NULL,
    seen_by  INTEGER REFERENCES account (id) ON DELETE SET NULL,
    PRIMARY KEY (count_id, item_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX stock_seen_by_item ON stock_seen (item_id);
CREATE INDEX stock_seen_by_account ON stock_seen (seen_by) WHERE seen_by IS NOT NULL;

-- How it came out, piece by piece; never rewritten.
CREATE TABLE stock_line (
    count_id INTEGER NOT NULL REFERENCES stock_count (id) ON DELETE CASCADE,
    item_id  INTEGER NOT NULL REFERENCES item (id) ON DELETE CASCADE,
    outcome  TEXT NOT NULL
        CONSTRAINT stock_line_outcome CHECK (
            outcome IN ('there', 'turned_up', 'out', 'in_repair', 'not_found')
        ),
    PRIMARY KEY (count_id, item_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX stock_line_by_item ON stock_line (item_id);
CREATE TRIGGER stock_line_stays BEFORE UPDATE ON stock_line
BEGIN
    SELECT RAISE(ABORT, 'what was counted is never rewritten');
END;
