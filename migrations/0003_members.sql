-- The club's members, and apart from them what is known of their eyes.
CREATE TABLE member (
    id            INTEGER PRIMARY KEY AUTOINCREMENT,
    member_number TEXT NOT NULL COLLATE NOCASE
        CONSTRAINT member_number_form CHECK (
            length(member_number) BETWEEN 1 AND 24
            AND member_number GLOB '[A-Za-z0-9]*'
            AND NOT member_number GLOB '*[^A-Za-z0-9._/-]*'
        ),
    name          TEXT NOT NULL
        CONSTRAINT member_name CHECK (length(trim(name)) > 0 AND length(name) <= 120),
    email         TEXT COLLATE NOCASE
        CONSTRAINT member_email CHECK (length(email) BETWEEN 3 AND 254 AND email LIKE '_%@_%'),
    joined        TEXT
        CONSTRAINT member_joined CHECK (length(joined) = 10 AND joined = date(joined)),
    state         TEXT NOT NULL DEFAULT 'active'
        CONSTRAINT member_state CHECK (state IN ('active', 'left')),
    version       INTEGER NOT NULL DEFAULT 1 CONSTRAINT member_version CHECK (version >= 1),
    CONSTRAINT member_number_is_the_only_one UNIQUE (member_number),
    CONSTRAINT member_email_is_the_only_one UNIQUE (email)
) STRICT;

-- Sensitive: its own table, so that no list of members can carry it along by accident.
CREATE TABLE member_eye (
    member_id         INTEGER PRIMARY KEY REFERENCES member (id) ON DELETE CASCADE,
    birth_year        INTEGER
        CONSTRAINT member_eye_birth_year CHECK (birth_year BETWEEN 1900 AND 2100),
    glasses           TEXT
        CONSTRAINT member_eye_glasses CHECK (glasses IN ('none', 'takes_off', 'keeps_on')),
    sphere_d          REAL
        CONSTRAINT member_eye_sphere CHECK (sphere_d BETWEEN -25 AND 25),
    -- With the sign the optician wrote; the optics count its size.
    cylinder_d        REAL
        CONSTRAINT member_eye_cylinder CHECK (cylinder_d BETWEEN -10 AND 10),
    measured_pupil_mm REAL
        CONSTRAINT member_eye_measured_pupil CHECK (measured_pupil_mm BETWEEN 1 AND 10),
    relief_floor_mm   REAL
        CONSTRAINT member_eye_relief_floor CHECK (relief_floor_mm BETWEEN 0 AND 60)
) STRICT;
