-- Coma correctors can be bought too. Nothing refers to a candidate, so its table is made anew.

CREATE TABLE purchase_candidate_anew (
    id                 INTEGER PRIMARY KEY AUTOINCREMENT,
    name               TEXT NOT NULL COLLATE NOCASE UNIQUE
        CONSTRAINT purchase_candidate_name CHECK (length(name) BETWEEN 1 AND 200),
    piece              TEXT NOT NULL
        CONSTRAINT purchase_candidate_piece CHECK (piece IN ('eyepiece', 'barlow', 'corrector')),
    -- In hundredths of the club's money.
    price_cents        INTEGER NOT NULL
        CONSTRAINT purchase_candidate_price CHECK (price_cents BETWEEN 0 AND 100000000),
    condition          TEXT
        CONSTRAINT purchase_candidate_condition CHECK (condition IN ('new', 'used')),
    -- How many one would buy at most.
    most               INTEGER NOT NULL DEFAULT 1
        CONSTRAINT purchase_candidate_most CHECK (most BETWEEN 1 AND 9),
    focal_length_mm    REAL,
    apparent_field_deg REAL,
    field_stop_mm      REAL,
    eye_relief_mm      REAL,
    barrel_mm          REAL,
    optical_class      TEXT,
    mass_g             REAL,
    factor             REAL,
    kind               TEXT,
    CONSTRAINT purchase_candidate_figures CHECK (
        (piece = 'eyepiece') = (focal_length_mm IS NOT NULL)
        AND (piece <> 'eyepiece') = (factor IS NOT NULL)
        AND (piece <> 'corrector' OR barrel_mm IS NOT NULL)
    )
) STRICT;

INSERT INTO purchase_candidate_anew
SELECT id, name, piece, price_cents, condition, most, focal_length_mm, apparent_field_deg,
       field_stop_mm, eye_relief_mm, barrel_mm, optical_class, mass_g, factor, kind
FROM purchase_candidate;
-- The numbers of candidates taken off the list stay used: dropping the table would forget them.
DELETE FROM sqlite_sequence WHERE name = 'purchase_candidate_anew';
INSERT INTO sqlite_sequence (name, seq)
SELECT 'purchase_candidate_anew', seq FROM sqlite_sequence WHERE name = 'purchase_candidate';
DROP TABLE purchase_candidate;
ALTER TABLE purchase_candidate_anew RENAME TO purchase_candidate;
