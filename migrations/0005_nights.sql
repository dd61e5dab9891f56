-- Who has what on which nights. A night is the date of its evening at the club.
CREATE TABLE reservation (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    member_id   INTEGER NOT NULL REFERENCES member (id),
    first_night TEXT NOT NULL
        CONSTRAINT reservation_first_night CHECK (
            length(first_night) = 10 AND first_night = date(first_night)
        ),
    last_night  TEXT NOT NULL
        CONSTRAINT reservation_last_night CHECK (
            length(last_night) = 10 AND last_night = date(last_night)
        ),
    state       TEXT NOT NULL
        CONSTRAINT reservation_state CHECK (state IN ('confirmed', 'cancelled')),
    -- Seconds since 1970.
    created_at  INTEGER NOT NULL CONSTRAINT reservation_created_at CHECK (created_at >= 0),
    CONSTRAINT reservation_nights CHECK (
        julianday(last_night) - julianday(first_night) BETWEEN 0 AND 365
    )
) STRICT;

CREATE INDEX reservation_by_member ON reservation (member_id, first_night);

-- The items of a reservation; they stay when it is cancelled, so that its story can be told.
CREATE TABLE reservation_item (
    reservation_id INTEGER NOT NULL REFERENCES reservation (id) ON DELETE CASCADE,
    item_id        INTEGER NOT NULL REFERENCES item (id),
    PRIMARY KEY (reservation_id, item_id)
) STRICT, WITHOUT ROWID;

CREATE INDEX reservation_item_by_item ON reservation_item (item_id);

-- One row for each night an item is promised. The primary key is the promise that nothing is
-- lent twice for one night; no code can get round it.
CREATE TABLE item_night (
    item_id        INTEGER NOT NULL,
    night          TEXT NOT NULL
        CONSTRAINT item_night_is_a_date CHECK (length(night) = 10 AND night = date(night)),
    reservation_id INTEGER NOT NULL,
    PRIMARY KEY (item_id, night),
    FOREIGN KEY (reservation_id, item_id)
        REFERENCES reservation_item (reservation_id, item_id) ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

-- Freeing a reservation's nights, and checking them against its dates.
CREATE INDEX item_night_by_reservation ON item_night (reservation_id, item_id);
