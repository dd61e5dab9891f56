-- Places where the club observes; one of them is where it usually does.
CREATE TABLE site (
    id             INTEGER PRIMARY KEY,
    name           TEXT NOT NULL UNIQUE CHECK (length(trim(name)) BETWEEN 1 AND 120),
    latitude_deg   REAL NOT NULL CHECK (latitude_deg BETWEEN -90 AND 90),
    longitude_deg  REAL NOT NULL CHECK (longitude_deg BETWEEN -180 AND 180),
    height_m       REAL NOT NULL CHECK (height_m BETWEEN -500 AND 9000),
    time_zone      TEXT NOT NULL CHECK (length(time_zone) BETWEEN 1 AND 64),
    -- V magnitudes per square arcsecond at the moonless zenith.
    sky_brightness REAL NOT NULL CHECK (sky_brightness BETWEEN 14 AND 22.5),
    is_main        INTEGER NOT NULL CHECK (is_main IN (0, 1))
) STRICT;

CREATE UNIQUE INDEX site_main ON site (is_main) WHERE is_main = 1;
