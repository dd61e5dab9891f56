-- Whose a piece is, what it is worth and where it lives.
CREATE TABLE item_paper (
    item_id      INTEGER PRIMARY KEY REFERENCES item (id) ON DELETE CASCADE,
    -- A member who lends it to the club; none where it is the club's own.
    owner_id     INTEGER REFERENCES member (id),
    donor        TEXT NOT NULL DEFAULT ''
        CONSTRAINT item_paper_donor CHECK (length(donor) <= 120),
    serial       TEXT NOT NULL DEFAULT ''
        CONSTRAINT item_paper_serial CHECK (length(serial) <= 60),
    bought_on    TEXT
        CONSTRAINT item_paper_bought_on CHECK (length(bought_on) = 10 AND bought_on = date(bought_on)),
    -- Hundredths of whatever the club counts in.
    value_cents  INTEGER
        CONSTRAINT item_paper_value CHECK (value_cents BETWEEN 0 AND 100000000),
    place        TEXT NOT NULL DEFAULT ''
        CONSTRAINT item_paper_place CHECK (length(place) <= 120),
    -- Who keeps it at home.
    custodian_id INTEGER REFERENCES member (id)
) STRICT;
CREATE INDEX item_paper_by_owner ON item_paper (owner_id) WHERE owner_id IS NOT NULL;
CREATE INDEX item_paper_by_custodian ON item_paper (custodian_id) WHERE custodian_id IS NOT NULL;

-- What always leaves with a telescope, in the order of the check-list.
CREATE TABLE set_part (
    telescope_id INTEGER NOT NULL REFERENCES telescope (item_id) ON DELETE CASCADE,
    position     INTEGER NOT NULL CONSTRAINT set_part_position CHECK (position BETWEEN 1 AND 40),
    what         TEXT NOT NULL
        CONSTRAINT set_part_what CHECK (length(trim(what)) > 0 AND length(what) <= 120),
    PRIMARY KEY (telescope_id, position)
) STRICT, WITHOUT ROWID;
