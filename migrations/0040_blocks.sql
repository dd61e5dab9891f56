-- Nights for which the club keeps pieces back itself: to look after them, or for an evening of its
-- own. The nights stand in item_night with the kind "block", so that they collide with nothing
-- silently.
CREATE TABLE club_block (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    reason     TEXT NOT NULL
        CONSTRAINT club_block_reason CHECK (length(reason) BETWEEN 1 AND 200),
    created_at INTEGER NOT NULL CONSTRAINT club_block_created_at CHECK (created_at >= 0)
) STRICT;
