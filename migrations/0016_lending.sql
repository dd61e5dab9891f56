-- Reservations with all their states, what is handed over and brought back, and the story of it.
-- A CHECK can't be changed in place, so the three tables of 0005 are made anew around their rows.
CREATE TABLE reservation_anew (
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
        CONSTRAINT reservation_state CHECK (
            state IN ('requested', 'confirmed', 'ready', 'declined', 'cancelled', 'no_show', 'out',
                      'closed')
        ),
    -- Seconds since 1970.
    created_at  INTEGER NOT NULL CONSTRAINT reservation_created_at CHECK (created_at >= 0),
    -- Whether anything is to be used while the Sun is up.
    daylight    INTEGER NOT NULL DEFAULT 0
        CONSTRAINT reservation_daylight CHECK (daylight IN (0, 1)),
    -- Counts the changes; the API's ETag.
    version     INTEGER NOT NULL DEFAULT 1 CONSTRAINT reservation_version CHECK (version >= 1),
    CONSTRAINT reservation_nights CHECK (
        julianday(last_night) - julianday(first_night) BETWEEN 0 AND 365
    )
) STRICT;
INSERT INTO reservation_anew (id, member_id, first_night, last_night, state, created_at)
SELECT id, member_id, first_night, last_night, state, created_at FROM reservation;

-- The lines of a reservation; they stay whatever becomes of it, so that its story can be told.
CREATE TABLE reservation_item_anew (
    reservation_id INTEGER NOT NULL REFERENCES reservation_anew (id) ON DELETE CASCADE,
    item_id        INTEGER NOT NULL REFERENCES item (id),
    state          TEXT NOT NULL DEFAULT 'planned'
        CONSTRAINT reservation_item_state CHECK (
            state IN ('planned', 'out', 'returned', 'missing', 'dropped')
        ),
    PRIMARY KEY (reservation_id, item_id)
) STRICT, WITHOUT ROWID;
INSERT INTO reservation_item_anew (reservation_id, item_id)
SELECT reservation_id, item_id FROM reservation_item;

-- One row for each night an item is spoken for, whatever for. The primary key is the promise that
-- nothing is lent twice for one night; no code can get round it.
CREATE TABLE item_night_anew (
    item_id        INTEGER NOT NULL,
    night          TEXT NOT NULL
        CONSTRAINT item_night_is_a_date CHECK (length(night) = 10 AND night = date(night)),
    -- plan: promised. turnaround: looked after. overdue: not back yet. offer: held for somebody
    -- from the waiting list. block: kept by the club.
    kind           TEXT NOT NULL DEFAULT 'plan'
        CONSTRAINT item_night_kind CHECK (
            kind IN ('plan', 'turnaround', 'overdue', 'offer', 'block')
        ),
    reservation_id INTEGER,
    -- The place on the waiting list, or the club's block.
    holder_id      INTEGER,
    PRIMARY KEY (item_id, night),
    CONSTRAINT item_night_has_one_reason CHECK (
        (kind IN ('offer', 'block')) = (holder_id IS NOT NULL)
        AND (holder_id IS NULL) = (reservation_id IS NOT NULL)
    ),
    FOREIGN KEY (item_id) REFERENCES item (id),
    FOREIGN KEY (reservation_id, item_id)
        REFERENCES reservation_item_anew (reservation_id, item_id) ON DELETE CASCADE
) STRICT, WITHOUT ROWID;
INSERT INTO item_night_anew (item_id, night, reservation_id)
SELECT item_id, night, reservation_id FROM item_night;

DROP TABLE item_night;
DROP TABLE reservation_item;
DROP TABLE reservation;
ALTER TABLE reservation_anew RENAME TO reservation;
ALTER TABLE reservation_item_anew RENAME TO reservation_item;
ALTER TABLE item_night_anew RENAME TO item_night;

CREATE INDEX reservation_by_member ON reservation (member_id, first_night);
-- What the desk asks for: everything that is not over, by its state and night.
CREATE INDEX reservation_going_on ON reservation (state, first_night)
    WHERE state IN ('requested', 'confirmed', 'ready', 'out');
CREATE INDEX reservation_item_by_item ON reservation_item (item_id);
-- Freeing a reservation's nights, and checking them against its dates.
CREATE INDEX item_night_by_reservation ON item_night (reservation_id, item_id)
    WHERE reservation_id IS NOT NULL;
CREATE INDEX item_night_by_holder ON item_night (kind, holder_id) WHERE holder_id IS NOT NULL;

-- One hand-over of one reservation.
CREATE TABLE loan (
    id               INTEGER PRIMARY KEY AUTOINCREMENT,
    reservation_id   INTEGER NOT NULL UNIQUE REFERENCES reservation (id),
    handed_at        INTEGER NOT NULL CONSTRAINT loan_handed_at CHECK (handed_at >= 0),
    -- The account of whoever gave it out.
    handed_by        INTEGER,
    -- The name that the borrower, or a minor's guardian, signed with.
    signed_name      TEXT NOT NULL CONSTRAINT loan_signed_name CHECK (length(signed_name) <= 120),
    guardian         TEXT CONSTRAINT loan_guardian CHECK (length(guardian) BETWEEN 1 AND 120),
    witness          TEXT CONSTRAINT loan_witness CHECK (length(witness) BETWEEN 1 AND 120),
    -- The version of the cautions that was shown and acknowledged.
    cautions_version INTEGER NOT NULL CONSTRAINT loan_cautions CHECK (cautions_version >= 1),
    note             TEXT NOT NULL DEFAULT '' CONSTRAINT loan_note CHECK (length(note) <= 1000)
) STRICT;

-- Who has what, from hand-over to return.
CREATE TABLE custody (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    loan_id     INTEGER NOT NULL REFERENCES loan (id),
    item_id     INTEGER NOT NULL REFERENCES item (id),
    member_id   INTEGER NOT NULL REFERENCES member (id),
    handed_at   INTEGER NOT NULL,
    returned_at INTEGER,
    -- The account of whoever took it back.
    received_by INTEGER,
    condition   TEXT CONSTRAINT custody_condition CHECK (
        condition IN ('good', 'dirty', 'damaged', 'incomplete')
    ),
    note        TEXT NOT NULL DEFAULT '' CONSTRAINT custody_note CHECK (length(note) <= 1000),
    CONSTRAINT custody_ends_after_it_begins CHECK (returned_at >= handed_at),
    CONSTRAINT custody_condition_is_noted CHECK ((returned_at IS NULL) = (condition IS NULL)),
    UNIQUE (loan_id, item_id)
) STRICT;
-- The promise that nothing is in two people's hands.
CREATE UNIQUE INDEX custody_is_one ON custody (item_id) WHERE returned_at IS NULL;
CREATE INDEX custody_by_member ON custody (member_id, returned_at);

-- The story of every reservation: one row for each step, added and never changed.
CREATE TABLE lending_event (
    id             INTEGER PRIMARY KEY AUTOINCREMENT,
    reservation_id INTEGER NOT NULL REFERENCES reservation (id) ON DELETE CASCADE,
    at             INTEGER NOT NULL CONSTRAINT lending_event_at CHECK (at >= 0),
    -- The account of whoever did it; none where time or a table did.
    actor          INTEGER,
    kind           TEXT NOT NULL CONSTRAINT lending_event_kind CHECK (
        kind IN ('request', 'book', 'approve', 'decline', 'expire', 'change', 'cancel', 'prepare',
                 'hand_over', 'no_show', 'extend', 'return', 'missing', 'found', 'undo')
    ),
    -- A JSON list of item numbers.
    items          TEXT NOT NULL DEFAULT '[]'
        CONSTRAINT lending_event_items CHECK (json_valid(items)),
    first_night    TEXT,
    last_night     TEXT,
    from_state     TEXT,
    to_state       TEXT NOT NULL,
    reason         TEXT NOT NULL DEFAULT ''
        CONSTRAINT lending_event_reason CHECK (length(reason) <= 1000)
) STRICT;
CREATE INDEX lending_event_by_reservation ON lending_event (reservation_id, id);
CREATE TRIGGER lending_event_stays BEFORE UPDATE ON lending_event
BEGIN
    SELECT RAISE(ABORT, 'what happened is never rewritten');
END;

INSERT INTO lending_event
    (reservation_id, at, kind, items, first_night, last_night, to_state)
SELECT id, created_at, 'book',
       coalesce((SELECT json_group_array(item_id) FROM reservation_item AS line
                 WHERE line.reservation_id = reservation.id), '[]'),
       first_night, last_night, 'confirmed'
FROM reservation;
INSERT INTO lending_event (reservation_id, at, kind, from_state, to_state)
SELECT id, created_at, 'cancel', 'confirmed', 'cancelled' FROM reservation
WHERE state = 'cancelled';

-- Answers kept for 48 hours, so that a request sent twice is done once. Written in the same
-- transaction as what the request did.
CREATE TABLE kept_answer (
    account_id   INTEGER NOT NULL,
    key          TEXT NOT NULL CONSTRAINT kept_answer_key CHECK (length(key) BETWEEN 1 AND 255),
    request_hash BLOB NOT NULL
        CONSTRAINT kept_answer_hash_is_whole CHECK (length(request_hash) = 32),
    status       INTEGER NOT NULL,
    answer       TEXT NOT NULL,
    created_at   INTEGER NOT NULL,
    PRIMARY KEY (account_id, key)
) STRICT, WITHOUT ROWID;
CREATE INDEX kept_answer_by_age ON kept_answer (created_at);
