-- What belongs to a member: tokens they use, what more they say of their eyes, who stands up for
-- them while they are young, and what they own themselves.

-- The day only: the hour would tell when somebody is awake.
ALTER TABLE access_token ADD COLUMN last_used_on TEXT
    CONSTRAINT access_token_last_used_on CHECK (
        length(last_used_on) = 10 AND last_used_on = date(last_used_on)
    );

-- sphere_d and cylinder_d are those of the eye that looks; here is which one that is, and what the
-- other one needs.
ALTER TABLE member_eye ADD COLUMN looking_eye TEXT
    CONSTRAINT member_eye_looking CHECK (looking_eye IN ('right', 'left'));
ALTER TABLE member_eye ADD COLUMN other_sphere_d REAL
    CONSTRAINT member_eye_other_sphere CHECK (other_sphere_d BETWEEN -25 AND 25);
ALTER TABLE member_eye ADD COLUMN other_cylinder_d REAL
    CONSTRAINT member_eye_other_cylinder CHECK (other_cylinder_d BETWEEN -10 AND 10);
-- Whether quartermasters may open the figures themselves.
ALTER TABLE member_eye ADD COLUMN shared INTEGER NOT NULL DEFAULT 0
    CONSTRAINT member_eye_shared CHECK (shared IN (0, 1));
-- Counts the changes.
ALTER TABLE member_eye ADD COLUMN version INTEGER NOT NULL DEFAULT 1
    CONSTRAINT member_eye_version CHECK (version >= 1);

-- The adult who stands up for a young member.
CREATE TABLE guardian (
    member_id    INTEGER PRIMARY KEY REFERENCES member (id) ON DELETE CASCADE,
    name         TEXT NOT NULL
        CONSTRAINT guardian_name CHECK (length(trim(name)) > 0 AND length(name) <= 120),
    consented_on TEXT NOT NULL
        CONSTRAINT guardian_consented_on CHECK (
            length(consented_on) = 10 AND consented_on = date(consented_on)
        ),
    recorded_by  INTEGER NOT NULL REFERENCES account (id),
    recorded_at  INTEGER NOT NULL CONSTRAINT guardian_recorded_at CHECK (recorded_at >= 0)
) STRICT;

-- Somebody looked at a paper that shows that a member is 18 or older. What paper, nobody keeps.
CREATE TABLE adult_proof (
    member_id   INTEGER PRIMARY KEY REFERENCES member (id) ON DELETE CASCADE,
    seen_on     TEXT NOT NULL
        CONSTRAINT adult_proof_seen_on CHECK (length(seen_on) = 10 AND seen_on = date(seen_on)),
    recorded_by INTEGER NOT NULL REFERENCES account (id)
) STRICT;

CREATE INDEX guardian_by_recorder ON guardian (recorded_by);
CREATE INDEX adult_proof_by_recorder ON adult_proof (recorded_by);

-- When the person behind a member was forgotten; the row stays for the club's statistics.
ALTER TABLE member ADD COLUMN erased_on TEXT
    CONSTRAINT member_erased_on CHECK (length(erased_on) = 10 AND erased_on = date(erased_on));
