-- Every word of every item, for finding it: one row for each item, its rowid the item's number.
-- The words are written by the program, because "203 mm reflector" stands in no single column.
CREATE VIRTUAL TABLE item_text USING fts5 (
    tag, name, words, notes, place,
    tokenize = "unicode61 remove_diacritics 2",
    prefix = '2 3'
);

-- What was on the shelf already is found by what stands in its own row until it is next changed.
INSERT INTO item_text (rowid, tag, name, words, notes, place)
SELECT id, asset_tag, name, kind, notes, '' FROM item;

-- One kind of thing, in the order of its tags.
CREATE INDEX item_by_kind ON item (kind, asset_tag);

-- What was changed, by whom, from what to what: one row for each field of each new version.
-- A new item has one row, whose field is its tag.
CREATE TABLE item_change (
    item_id    INTEGER NOT NULL REFERENCES item (id) ON DELETE CASCADE,
    version    INTEGER NOT NULL CONSTRAINT item_change_version CHECK (version >= 1),
    field      TEXT NOT NULL
        CONSTRAINT item_change_field CHECK (length(field) BETWEEN 1 AND 40),
    before     TEXT,
    after      TEXT,
    -- Seconds since 1970.
    changed_at INTEGER NOT NULL CONSTRAINT item_change_time CHECK (changed_at >= 0),
    -- None where it came from the command line.
    changed_by INTEGER REFERENCES account (id) ON DELETE SET NULL,
    PRIMARY KEY (item_id, version, field),
    CONSTRAINT item_change_is_one CHECK (before IS NOT after)
) STRICT, WITHOUT ROWID;

CREATE INDEX item_change_by_account ON item_change (changed_by) WHERE changed_by IS NOT NULL;
