-- The club itself: one row.
CREATE TABLE club (
    id        INTEGER PRIMARY KEY CHECK (id = 1),
    name      TEXT NOT NULL CHECK (length(trim(name)) BETWEEN 1 AND 120),
    time_zone TEXT NOT NULL CHECK (length(time_zone) BETWEEN 1 AND 64)
) STRICT;
