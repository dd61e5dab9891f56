-- What a site's trees and hills hide, how steady its air usually is, and which version of it a
-- reader saw.
ALTER TABLE site ADD COLUMN seeing_arcsec REAL CHECK (seeing_arcsec BETWEEN 0.2 AND 15);
ALTER TABLE site ADD COLUMN version INTEGER NOT NULL DEFAULT 1 CHECK (version >= 1);

-- Degrees above the level in the eight directions of the compass; a direction without a row is open.
CREATE TABLE site_horizon (
    site_id      INTEGER NOT NULL REFERENCES site (id) ON DELETE CASCADE,
    azimuth_deg  INTEGER NOT NULL CHECK (azimuth_deg IN (0, 45, 90, 135, 180, 225, 270, 315)),
    altitude_deg REAL NOT NULL CHECK (altitude_deg BETWEEN 0 AND 80),
    PRIMARY KEY (site_id, azimuth_deg)
) STRICT, WITHOUT ROWID;
