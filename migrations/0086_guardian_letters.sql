-- Where a guardian wants to be reminded of what a young member has to bring back; empty where
-- nowhere.
ALTER TABLE guardian ADD COLUMN email TEXT
    CONSTRAINT guardian_email CHECK (length(email) BETWEEN 3 AND 254);

-- Letters about a young member's loan that go to their guardian. The address is looked up when the
-- letter is sent, so that it is forgotten with the guardian.
ALTER TABLE letter ADD COLUMN to_guardian INTEGER NOT NULL DEFAULT 0
    CONSTRAINT letter_to_guardian CHECK (
        to_guardian IN (0, 1) AND (to_guardian = 0 OR member_id IS NOT NULL)
    );
