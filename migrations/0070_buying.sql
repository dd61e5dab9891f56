-- What the club could buy or sell, and the reports on it.

-- Something for sale, in the club's own words.
CREATE TABLE purchase_candidate (
    id                 INTEGER PRIMARY KEY AUTOINCREMENT,
    name               TEXT NOT NULL COLLATE NOCASE UNIQUE
        CONSTRAINT purchase_candidate_name CHECK (length(name) BETWEEN 1 AND 200),
    piece              TEXT NOT NULL
        CONSTRAINT purchase_candidate_piece CHECK (piece IN ('eyepiece', 'barlow')),
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
        AND (piece = 'barlow') = (factor IS NOT NULL)
    )
) STRICT;

-- A piece of the club's that could be sold.
CREATE TABLE purchase_sale (
    item_id     INTEGER PRIMARY KEY REFERENCES item (id) ON DELETE CASCADE,
    price_cents INTEGER NOT NULL
        CONSTRAINT purchase_sale_price CHECK (price_cents BETWEEN 0 AND 100000000)
) STRICT;

-- A long computation and its report.
CREATE TABLE purchase_job (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    budget_cents INTEGER NOT NULL
        CONSTRAINT purchase_job_budget CHECK (budget_cents BETWEEN 0 AND 100000000),
    state        TEXT NOT NULL DEFAULT 'waiting' CONSTRAINT purchase_job_state CHECK (
        state IN ('waiting', 'running', 'done', 'cancelled', 'failed')
    ),
    asked_at     INTEGER NOT NULL CONSTRAINT purchase_job_asked CHECK (asked_at >= 0),
    ended_at     INTEGER,
    -- Where it has got to, in words and in thousandths.
    stage        TEXT NOT NULL DEFAULT '',
    thousandths  INTEGER NOT NULL DEFAULT 0
        CONSTRAINT purchase_job_thousandths CHECK (thousandths BETWEEN 0 AND 1000),
    -- A mark of all facts it was computed from: with other facts nothing kept is used again.
    mark         TEXT NOT NULL DEFAULT '',
    -- The report as JSON, when it is done.
    report       TEXT,
    CONSTRAINT purchase_job_ended CHECK ((ended_at IS NULL) = (state IN ('waiting', 'running'))),
    CONSTRAINT purchase_job_reported CHECK ((report IS NOT NULL) = (state = 'done'))
) STRICT;
CREATE INDEX purchase_job_open ON purchase_job (id) WHERE state IN ('waiting', 'running');

-- What a computation has found so far, so that it goes on there after a restart.
CREATE TABLE purchase_point (
    job_id       INTEGER NOT NULL REFERENCES purchase_job (id) ON DELETE CASCADE,
    budget_cents INTEGER NOT NULL,
    found        TEXT NOT NULL,
    PRIMARY KEY (job_id, budget_cents)
) STRICT, WITHOUT ROWID;
