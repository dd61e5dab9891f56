-- What members own themselves, with the figures that the shelf keeps of the club's. The ranges are
-- those of the optics quantities.
CREATE TABLE own_telescope (
    id                     INTEGER PRIMARY KEY AUTOINCREMENT,
    member_id              INTEGER NOT NULL REFERENCES member (id) ON DELETE CASCADE,
    name                   TEXT NOT NULL
        CONSTRAINT own_telescope_name CHECK (length(trim(name)) > 0 AND length(name) <= 120),
    layout                 TEXT NOT NULL
        CONSTRAINT own_telescope_layout CHECK (
            layout IN ('refractor', 'newtonian', 'schmidt_cassegrain', 'maksutov_cassegrain',
                       'other', 'unknown')
        ),
    aperture_mm            REAL NOT NULL
        CONSTRAINT own_telescope_aperture CHECK (aperture_mm BETWEEN 30 AND 3000),
    focal_length_mm        REAL NOT NULL
        CONSTRAINT own_telescope_focal_length CHECK (focal_length_mm BETWEEN 100 AND 30000),
    central_obstruction_mm REAL
        CONSTRAINT own_telescope_obstruction CHECK (
            central_obstruction_mm BETWEEN 0 AND 2000 AND central_obstruction_mm < aperture_mm
        ),
    focuser_barrel_mm      REAL
        CONSTRAINT own_telescope_focuser_barrel CHECK (focuser_barrel_mm IN (24.5, 31.75, 50.8)),
    focuser_travel_mm      REAL
        CONSTRAINT own_telescope_focuser_travel CHECK (focuser_travel_mm BETWEEN 0 AND 500),
    balance_limit_g        REAL
        CONSTRAINT own_telescope_balance_limit CHECK (balance_limit_g BETWEEN 1 AND 200000),
    tracking               INTEGER CONSTRAINT own_telescope_tracking CHECK (tracking IN (0, 1)),
    version                INTEGER NOT NULL DEFAULT 1
        CONSTRAINT own_telescope_version CHECK (version >= 1),
    CONSTRAINT own_telescope_focal_ratio CHECK (focal_length_mm / aperture_mm BETWEEN 1 AND 100),
    CONSTRAINT own_telescope_refractor_is_clear CHECK (
        layout <> 'refractor' OR central_obstruction_mm IS NULL OR central_obstruction_mm = 0
    )
) STRICT;

CREATE INDEX own_telescope_by_member ON own_telescope (member_id);

CREATE TABLE own_eyepiece (
    id                   INTEGER PRIMARY KEY AUTOINCREMENT,
    member_id            INTEGER NOT NULL REFERENCES member (id) ON DELETE CASCADE,
    name                 TEXT NOT NULL
        CONSTRAINT own_eyepiece_name CHECK (length(trim(name)) > 0 AND length(name) <= 120),
    focal_length_mm      REAL NOT NULL
        CONSTRAINT own_eyepiece_focal_length CHECK (focal_length_mm BETWEEN 1.5 AND 100),
    apparent_field_deg   REAL
        CONSTRAINT own_eyepiece_apparent_field CHECK (apparent_field_deg BETWEEN 15 AND 130),
    field_stop_mm        REAL
        CONSTRAINT own_eyepiece_field_stop CHECK (field_stop_mm BETWEEN 1 AND 60),
    eye_relief_mm        REAL
        CONSTRAINT own_eyepiece_eye_relief CHECK (eye_relief_mm BETWEEN 0 AND 60),
    usable_eye_relief_mm REAL
        CONSTRAINT own_eyepiece_usable_eye_relief CHECK (usable_eye_relief_mm BETWEEN 0 AND 60),
    barrel_mm            REAL
        CONSTRAINT own_eyepiece_barrel CHECK (barrel_mm IN (24.5, 31.75, 50.8)),
    optical_class        TEXT
        CONSTRAINT own_eyepiece_optical_class CHECK (
            optical_class IN ('two_lens', 'three_element', 'four_element', 'wide_field')
        ),
    mass_g               REAL CONSTRAINT own_eyepiece_mass CHECK (mass_g BETWEEN 1 AND 200000),
    version              INTEGER NOT NULL DEFAULT 1
        CONSTRAINT own_eyepiece_version CHECK (version >= 1),
    CONSTRAINT own_eyepiece_field_stop_fits_barrel CHECK (
        field_stop_mm <= CASE barrel_mm WHEN 24.5 THEN 23.0 WHEN 31.75 THEN 27.5 WHEN 50.8 THEN 46.5 END
    )
) STRICT;

CREATE INDEX own_eyepiece_by_member ON own_eyepiece (member_id);
