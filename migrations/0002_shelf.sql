-- Everything the club lends: one numbered object a row, and one table of figures for each kind.
-- The ranges are those of the optics quantities; a test keeps the two in step.
CREATE TABLE item (
    id            INTEGER PRIMARY KEY AUTOINCREMENT,
    kind          TEXT NOT NULL
        CONSTRAINT item_kind CHECK (kind IN ('telescope', 'eyepiece', 'barlow', 'filter')),
    asset_tag     TEXT NOT NULL COLLATE NOCASE
        CONSTRAINT item_asset_tag CHECK (
            length(asset_tag) BETWEEN 1 AND 24
            AND asset_tag GLOB '[A-Za-z0-9]*'
            AND NOT asset_tag GLOB '*[^A-Za-z0-9._/-]*'
        ),
    name          TEXT NOT NULL
        CONSTRAINT item_name CHECK (length(trim(name)) > 0 AND length(name) <= 120),
    state         TEXT NOT NULL DEFAULT 'in_service'
        CONSTRAINT item_state CHECK (
            state IN ('in_service', 'needs_inspection', 'in_repair', 'missing', 'retired')
        ),
    -- The whole thing; of a telescope, with its mount.
    mass_g        REAL CONSTRAINT item_mass CHECK (mass_g BETWEEN 1 AND 200000),
    acquired_year INTEGER
        CONSTRAINT item_acquired_year CHECK (acquired_year BETWEEN 1600 AND 2200),
    notes         TEXT NOT NULL DEFAULT ''
        CONSTRAINT item_notes CHECK (length(notes) <= 2000),
    -- Counts the changes; the API's ETag.
    version       INTEGER NOT NULL DEFAULT 1 CONSTRAINT item_version CHECK (version >= 1),
    CONSTRAINT item_tag_is_the_only_one UNIQUE (asset_tag),
    -- What the tables of figures point at, so that a telescope's figures never hang on an eyepiece.
    CONSTRAINT item_of_a_kind UNIQUE (id, kind)
) STRICT;

CREATE TABLE telescope (
    item_id                INTEGER PRIMARY KEY,
    item_kind              TEXT NOT NULL DEFAULT 'telescope'
        CONSTRAINT telescope_kind CHECK (item_kind = 'telescope'),
    layout                 TEXT NOT NULL
        CONSTRAINT telescope_layout CHECK (
            layout IN ('refractor', 'newtonian', 'schmidt_cassegrain', 'maksutov_cassegrain',
                       'other', 'unknown')
        ),
    aperture_mm            REAL NOT NULL
        CONSTRAINT telescope_aperture CHECK (aperture_mm BETWEEN 30 AND 3000),
    focal_length_mm        REAL NOT NULL
        CONSTRAINT telescope_focal_length CHECK (focal_length_mm BETWEEN 100 AND 30000),
    central_obstruction_mm REAL
        CONSTRAINT telescope_obstruction CHECK (
            central_obstruction_mm BETWEEN 0 AND 2000 AND central_obstruction_mm < aperture_mm
        ),
    focuser_barrel_mm      REAL
        CONSTRAINT telescope_focuser_barrel CHECK (focuser_barrel_mm IN (24.5, 31.75, 50.8)),
    focuser_travel_mm      REAL
        CONSTRAINT telescope_focuser_travel CHECK (focuser_travel_mm BETWEEN 0 AND 500),
    balance_limit_g        REAL
        CONSTRAINT telescope_balance_limit CHECK (balance_limit_g BETWEEN 1 AND 200000),
    mount                  TEXT
        CONSTRAINT telescope_mount CHECK (
            mount IN ('dobsonian', 'tabletop', 'altazimuth', 'equatorial')
        ),
    tracking               INTEGER CONSTRAINT telescope_tracking CHECK (tracking IN (0, 1)),
    heaviest_part_mass_g   REAL
        CONSTRAINT telescope_heaviest_part CHECK (heaviest_part_mass_g BETWEEN 1 AND 200000),
    eyepiece_height_min_mm REAL
        CONSTRAINT telescope_eyepiece_height_min CHECK (eyepiece_height_min_mm BETWEEN 0 AND 10000),
    eyepiece_height_max_mm REAL
        CONSTRAINT telescope_eyepiece_height_max CHECK (eyepiece_height_max_mm BETWEEN 0 AND 10000),
    -- People needed besides the borrower.
    helpers                INTEGER
        CONSTRAINT telescope_helpers CHECK (helpers BETWEEN 0 AND 20),
    CONSTRAINT telescope_focal_ratio CHECK (focal_length_mm / aperture_mm BETWEEN 1 AND 100),
    CONSTRAINT telescope_refractor_is_clear CHECK (
        layout <> 'refractor' OR central_obstruction_mm IS NULL OR central_obstruction_mm = 0
    ),
    CONSTRAINT telescope_eyepiece_heights CHECK (eyepiece_height_min_mm <= eyepiece_height_max_mm),
    FOREIGN KEY (item_id, item_kind) REFERENCES item (id, kind) ON DELETE CASCADE
) STRICT;

CREATE TABLE eyepiece (
    item_id               INTEGER PRIMARY KEY,
    item_kind             TEXT NOT NULL DEFAULT 'eyepiece'
        CONSTRAINT eyepiece_kind CHECK (item_kind = 'eyepiece'),
    focal_length_mm       REAL NOT NULL
        CONSTRAINT eyepiece_focal_length CHECK (focal_length_mm BETWEEN 1.5 AND 100),
    apparent_field_deg    REAL
        CONSTRAINT eyepiece_apparent_field CHECK (apparent_field_deg BETWEEN 15 AND 130),
    field_stop_mm         REAL
        CONSTRAINT eyepiece_field_stop CHECK (field_stop_mm BETWEEN 1 AND 60),
    eye_relief_mm         REAL
        CONSTRAINT eyepiece_eye_relief CHECK (eye_relief_mm BETWEEN 0 AND 60),
    -- Measured by somebody; counts before the maker's figure.
    usable_eye_relief_mm  REAL
        CONSTRAINT eyepiece_usable_eye_relief CHECK (usable_eye_relief_mm BETWEEN 0 AND 60),
    barrel_mm             REAL
        CONSTRAINT eyepiece_barrel CHECK (barrel_mm IN (24.5, 31.75, 50.8)),
    optical_class         TEXT
        CONSTRAINT eyepiece_optical_class CHECK (
            optical_class IN ('two_lens', 'three_element', 'four_element', 'wide_field')
        ),
    CONSTRAINT eyepiece_field_stop_fits_barrel CHECK (
        field_stop_mm <= CASE barrel_mm WHEN 24.5 THEN 23.0 WHEN 31.75 THEN 27.5 WHEN 50.8 THEN 46.5 END
    ),
    FOREIGN KEY (item_id, item_kind) REFERENCES item (id, kind) ON DELETE CASCADE
) STRICT;

CREATE TABLE barlow (
    item_id   INTEGER PRIMARY KEY,
    item_kind TEXT NOT NULL DEFAULT 'barlow'
        CONSTRAINT barlow_item_kind CHECK (item_kind = 'barlow'),
    factor    REAL NOT NULL CONSTRAINT barlow_factor CHECK (factor BETWEEN 1.01 AND 6),
    barrel_mm REAL CONSTRAINT barlow_barrel CHECK (barrel_mm IN (24.5, 31.75, 50.8)),
    kind      TEXT CONSTRAINT barlow_kind CHECK (kind IN ('plain', 'telecentric')),
    FOREIGN KEY (item_id, item_kind) REFERENCES item (id, kind) ON DELETE CASCADE
) STRICT;

CREATE TABLE filter (
    item_id                    INTEGER PRIMARY KEY,
    item_kind                  TEXT NOT NULL DEFAULT 'filter'
        CONSTRAINT filter_item_kind CHECK (item_kind = 'filter'),
    kind                       TEXT NOT NULL
        CONSTRAINT filter_kind CHECK (
            kind IN ('solar_full_aperture', 'moon', 'nebula', 'colour', 'polarising')
        ),
    barrel_mm                  REAL
        CONSTRAINT filter_barrel CHECK (barrel_mm IN (24.5, 31.75, 50.8)),
    -- The telescope it was made for.
    fits_telescope_id          INTEGER REFERENCES telescope (item_id),
    -- The tubes it goes over.
    fits_outer_diameter_min_mm REAL
        CONSTRAINT filter_fits_min CHECK (fits_outer_diameter_min_mm BETWEEN 20 AND 4000),
    fits_outer_diameter_max_mm REAL
        CONSTRAINT filter_fits_max CHECK (fits_outer_diameter_max_mm BETWEEN 20 AND 4000),
    -- A real date: 31 February comes back from date() as another day.
    last_light_test            TEXT
        CONSTRAINT filter_last_light_test CHECK (
            length(last_light_test) = 10 AND last_light_test = date(last_light_test)
        ),
    damaged                    INTEGER NOT NULL DEFAULT 0
        CONSTRAINT filter_damaged CHECK (damaged IN (0, 1)),
    CONSTRAINT filter_fits CHECK (fits_outer_diameter_min_mm <= fits_outer_diameter_max_mm),
    -- One that screws into an eyepiece sits where the Sun's heat gathers, and bursts.
    CONSTRAINT filter_solar_goes_in_front CHECK (
        kind <> 'solar_full_aperture' OR barrel_mm IS NULL
    ),
    FOREIGN KEY (item_id, item_kind) REFERENCES item (id, kind) ON DELETE CASCADE
) STRICT;

-- Deleting a telescope asks which filters name it.
CREATE INDEX filter_by_telescope ON filter (fits_telescope_id)
    WHERE fits_telescope_id IS NOT NULL;
