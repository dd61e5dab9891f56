-- How often somebody did not fetch what was kept for them is counted with each wish; it must not
-- read what they did fetch.
CREATE INDEX reservation_let_down ON reservation (member_id, first_night)
    WHERE state = 'no_show' OR cancelled_late = 1;
