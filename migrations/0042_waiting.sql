-- Who waits for pieces that are taken: first come, first served. What is offered is held by rows of
-- item_night with the kind "offer".
CREATE TABLE wait_place (
    id            INTEGER PRIMARY KEY AUTOINCREMENT,
    member_id     INTEGER NOT NULL REFERENCES member (id),
    -- Any piece of this kind; none where the pieces are named.
    kind          TEXT CONSTRAINT wait_place_kind CHECK (
        kind IN ('telescope', 'eyepiece', 'barlow', 'filter')
    ),
    first_night   TEXT NOT NULL CONSTRAINT wait_place_first_night CHECK (
        length(first_night) = 10 AND first_night = date(first_night)
    ),
    last_night    TEXT NOT NULL CONSTRAINT wait_place_last_night CHECK (
        length(last_night) = 10 AND last_night = date(last_night)
    ),
    daylight      INTEGER NOT NULL DEFAULT 0
        CONSTRAINT wait_place_daylight CHECK (daylight IN (0, 1)),
    state         TEXT NOT NULL DEFAULT 'waiting' CONSTRAINT wait_place_state CHECK (
        state IN ('waiting', 'offered', 'taken', 'declined', 'expired', 'withdrawn')
    ),
    asked_at      INTEGER NOT NULL CONSTRAINT wait_place_asked_at CHECK (asked_at >= 0),
    -- Until when an offer holds, in seconds since 1970.
    offered_until INTEGER,
    CONSTRAINT wait_place_nights CHECK (
        julianday(last_night) - julianday(first_night) BETWEEN 0 AND 365
    ),
    CONSTRAINT wait_place_offer_ends CHECK ((state = 'offered') = (offered_until IS NOT NULL))
) STRICT;
CREATE INDEX wait_place_open ON wait_place (asked_at, id) WHERE state IN ('waiting', 'offered');
CREATE INDEX wait_place_by_member ON wait_place (member_id, id);

-- The pieces that are waited for, all of them.
CREATE TABLE wait_place_item (
    place_id INTEGER NOT NULL REFERENCES wait_place (id) ON DELETE CASCADE,
    item_id  INTEGER NOT NULL REFERENCES item (id),
    PRIMARY KEY (place_id, item_id)
) STRICT, WITHOUT ROWID;
