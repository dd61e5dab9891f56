-- Public nights: what the outreach lead says of one, who helps, and what stands where.
CREATE TABLE public_night (
    id             INTEGER PRIMARY KEY AUTOINCREMENT,
    name           TEXT NOT NULL CONSTRAINT public_night_name CHECK (length(name) BETWEEN 1 AND 120),
    on_date        TEXT NOT NULL CONSTRAINT public_night_on_date CHECK (
        length(on_date) = 10 AND on_date = date(on_date)
    ),
    -- Wall clock of the site; an end at or before the start is on the next day.
    starts         TEXT NOT NULL CONSTRAINT public_night_starts CHECK (
        length(starts) = 5 AND starts = strftime('%H:%M', starts)
    ),
    ends           TEXT NOT NULL CONSTRAINT public_night_ends CHECK (
        length(ends) = 5 AND ends = strftime('%H:%M', ends)
    ),
    -- Without a site nobody knows where the Sun stands, and the night counts as in daylight.
    site_id        INTEGER REFERENCES site (id) ON DELETE SET NULL,
    setting        TEXT NOT NULL CONSTRAINT public_night_setting CHECK (setting IN ('outdoors', 'indoors')),
    kind           TEXT NOT NULL CONSTRAINT public_night_kind CHECK (kind IN ('evening', 'solar')),
    visitors       INTEGER NOT NULL CONSTRAINT public_night_visitors CHECK (visitors BETWEEN 0 AND 5000),
    children       INTEGER NOT NULL CONSTRAINT public_night_children CHECK (children BETWEEN 0 AND visitors),
    wheelchairs    INTEGER NOT NULL CONSTRAINT public_night_wheelchairs CHECK (
        wheelchairs BETWEEN 0 AND visitors
    ),
    stations       INTEGER NOT NULL CONSTRAINT public_night_stations CHECK (stations BETWEEN 1 AND 12),
    power          TEXT NOT NULL CONSTRAINT public_night_power CHECK (power IN ('none', 'packs', 'mains')),
    lighting       TEXT NOT NULL CONSTRAINT public_night_lighting CHECK (
        lighting IN ('dark', 'dimmed', 'lit')
    ),
    rain_date      TEXT CONSTRAINT public_night_rain_date CHECK (
        length(rain_date) = 10 AND rain_date = date(rain_date)
    ),
    notes          TEXT NOT NULL DEFAULT '',
    state          TEXT NOT NULL DEFAULT 'draft' CONSTRAINT public_night_state CHECK (
        state IN ('draft', 'announced', 'cancelled', 'held')
    ),
    -- The part of the public address that opens it; none while there is no public page.
    slug           TEXT UNIQUE,
    reservation_id INTEGER REFERENCES reservation (id),
    -- What the planner said of the whole, a list of sentences.
    told           TEXT NOT NULL DEFAULT '[]' CONSTRAINT public_night_told CHECK (json_valid(told)),
    version        INTEGER NOT NULL DEFAULT 1 CONSTRAINT public_night_version CHECK (version >= 1),
    created_at     INTEGER NOT NULL CONSTRAINT public_night_created_at CHECK (created_at >= 0)
) STRICT;
CREATE INDEX public_night_by_date ON public_night (on_date, id);
CREATE INDEX public_night_by_site ON public_night (site_id) WHERE site_id IS NOT NULL;
CREATE INDEX public_night_by_reservation ON public_night (reservation_id)
    WHERE reservation_id IS NOT NULL;

CREATE TABLE public_night_helper (
    night_id   INTEGER NOT NULL REFERENCES public_night (id) ON DELETE CASCADE,
    number     INTEGER NOT NULL CONSTRAINT public_night_helper_number CHECK (number BETWEEN 1 AND 99),
    -- A member, or a first name and nothing else.
    member_id  INTEGER REFERENCES member (id),
    first_name TEXT NOT NULL DEFAULT '' CONSTRAINT public_night_helper_first_name CHECK (
        length(first_name) <= 40
    ),
    PRIMARY KEY (night_id, number),
    CONSTRAINT public_night_helper_somebody CHECK ((member_id IS NULL) = (first_name <> ''))
) STRICT, WITHOUT ROWID;
CREATE INDEX public_night_helper_by_member ON public_night_helper (member_id)
    WHERE member_id IS NOT NULL;

-- Telescopes that the lead says a helper can run, besides those they were shown.
CREATE TABLE public_night_may_run (
    night_id INTEGER NOT NULL,
    number   INTEGER NOT NULL,
    item_id  INTEGER NOT NULL REFERENCES item (id),
    PRIMARY KEY (night_id, number, item_id),
    FOREIGN KEY (night_id, number) REFERENCES public_night_helper (night_id, number)
        ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

CREATE TABLE public_night_station (
    night_id INTEGER NOT NULL REFERENCES public_night (id) ON DELETE CASCADE,
    number   INTEGER NOT NULL CONSTRAINT public_night_station_number CHECK (number BETWEEN 1 AND 12),
    helper   INTEGER,
    -- What was done with the finder before it meets the Sun.
    finder   TEXT NOT NULL DEFAULT 'open' CONSTRAINT public_night_station_finder CHECK (
        finder IN ('open', 'capped', 'removed')
    ),
    by_hand  INTEGER NOT NULL DEFAULT 0 CONSTRAINT public_night_station_by_hand CHECK (by_hand IN (0, 1)),
    -- Why it was chosen, a list of sentences.
    why      TEXT NOT NULL DEFAULT '[]' CONSTRAINT public_night_station_why CHECK (json_valid(why)),
    PRIMARY KEY (night_id, number)
) STRICT, WITHOUT ROWID;

-- No piece stands at two stations.
CREATE TABLE public_night_piece (
    night_id INTEGER NOT NULL,
    item_id  INTEGER NOT NULL REFERENCES item (id),
    number   INTEGER NOT NULL,
    part     TEXT NOT NULL CONSTRAINT public_night_piece_part CHECK (
        part IN ('telescope', 'eyepiece', 'spare', 'filter')
    ),
    PRIMARY KEY (night_id, item_id),
    UNIQUE (night_id, number, part),
    FOREIGN KEY (night_id, number) REFERENCES public_night_station (night_id, number)
        ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

-- What a station shows in each half hour from the start.
CREATE TABLE public_night_aim (
    night_id INTEGER NOT NULL,
    number   INTEGER NOT NULL,
    slot     INTEGER NOT NULL CONSTRAINT public_night_aim_slot CHECK (slot BETWEEN 0 AND 23),
    target   TEXT NOT NULL CONSTRAINT public_night_aim_target CHECK (length(target) BETWEEN 1 AND 60),
    PRIMARY KEY (night_id, number, slot),
    FOREIGN KEY (night_id, number) REFERENCES public_night_station (night_id, number)
        ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

-- The last line before the Sun, whoever writes here: never without a filter at the station, never on
-- a night that is not for the Sun.
CREATE TRIGGER public_night_aim_at_sun BEFORE INSERT ON public_night_aim
WHEN lower(NEW.target) = 'sun' AND (
    NOT EXISTS (SELECT 1 FROM public_night_piece AS piece
                WHERE piece.night_id = NEW.night_id AND piece.number = NEW.number
                  AND piece.part = 'filter')
    OR NOT EXISTS (SELECT 1 FROM public_night AS night
                   WHERE night.id = NEW.night_id AND night.kind = 'solar'))
BEGIN
    SELECT RAISE(ABORT, 'the Sun is no target without a filter on a night for the Sun');
END;
CREATE TRIGGER public_night_aim_turned_to_sun BEFORE UPDATE ON public_night_aim
BEGIN
    SELECT RAISE(ABORT, 'what a station shows is written afresh, never turned');
END;
CREATE TRIGGER public_night_turned_from_sun BEFORE UPDATE OF kind ON public_night
WHEN NEW.kind <> 'solar' AND EXISTS (SELECT 1 FROM public_night_aim AS aim
                                     WHERE aim.night_id = NEW.id AND lower(aim.target) = 'sun')
BEGIN
    SELECT RAISE(ABORT, 'the Sun is a target of this night');
END;
CREATE TRIGGER public_night_filter_taken BEFORE DELETE ON public_night_piece
WHEN OLD.part = 'filter' AND EXISTS (SELECT 1 FROM public_night_aim AS aim
                                     WHERE aim.night_id = OLD.night_id AND aim.number = OLD.number
                                       AND lower(aim.target) = 'sun')
BEGIN
    SELECT RAISE(ABORT, 'the Sun is a target at this station');
END;

-- Afterwards.
CREATE TABLE public_night_after (
    night_id   INTEGER PRIMARY KEY REFERENCES public_night (id) ON DELETE CASCADE,
    visitors   INTEGER NOT NULL CONSTRAINT public_night_after_visitors CHECK (visitors BETWEEN 0 AND 5000),
    longest_wait_min INTEGER CONSTRAINT public_night_after_wait CHECK (longest_wait_min BETWEEN 0 AND 600),
    worked     TEXT NOT NULL DEFAULT '',
    better     TEXT NOT NULL DEFAULT '',
    written_at INTEGER NOT NULL
) STRICT;
CREATE TABLE public_night_count (
    night_id INTEGER NOT NULL REFERENCES public_night (id) ON DELETE CASCADE,
    number   INTEGER NOT NULL CONSTRAINT public_night_count_number CHECK (number BETWEEN 1 AND 12),
    visitors INTEGER NOT NULL CONSTRAINT public_night_count_visitors CHECK (visitors BETWEEN 0 AND 5000),
    PRIMARY KEY (night_id, number)
) STRICT, WITHOUT ROWID;
CREATE TABLE public_night_broke (
    night_id INTEGER NOT NULL REFERENCES public_night (id) ON DELETE CASCADE,
    item_id  INTEGER NOT NULL REFERENCES item (id),
    finding  TEXT NOT NULL CONSTRAINT public_night_broke_finding CHECK (length(finding) BETWEEN 1 AND 1000),
    PRIMARY KEY (night_id, item_id)
) STRICT, WITHOUT ROWID;

-- What the club lets a public night come before.
CREATE TABLE public_night_rule (
    id             INTEGER PRIMARY KEY CHECK (id = 1),
    ahead_nights   INTEGER NOT NULL CONSTRAINT public_night_rule_ahead CHECK (ahead_nights BETWEEN 1 AND 366),
    -- Whether pieces that somebody only asked for, and nobody promised yet, go to the public night.
    before_requests INTEGER NOT NULL CONSTRAINT public_night_rule_requests CHECK (before_requests IN (0, 1)),
    version        INTEGER NOT NULL DEFAULT 1
) STRICT;
INSERT INTO public_night_rule (id, ahead_nights, before_requests) VALUES (1, 366, 1);
