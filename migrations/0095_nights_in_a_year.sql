-- A member's nights of a year are summed up with each wish where the club limits them. Only what
-- counts is read, and that is no more than the limit lets anybody have.
CREATE INDEX reservation_counted ON reservation (member_id, first_night, last_night)
    WHERE state IN ('requested', 'confirmed', 'ready', 'out', 'closed');
