-- How much a piece was used, as running sums, so that no list has to read every loan there ever was:
-- how often it went out, the nights of its loans that are over (each counts at least one), and when it
-- was last handed over or brought back, in seconds since 1970. Kept by the database itself, so that no
-- way of lending can forget it; `check` compares it with a recount.
ALTER TABLE item ADD COLUMN times_out INTEGER NOT NULL DEFAULT 0;
ALTER TABLE item ADD COLUMN nights_out INTEGER NOT NULL DEFAULT 0;
ALTER TABLE item ADD COLUMN last_seen INTEGER;

UPDATE item SET (times_out, nights_out, last_seen) = (
    SELECT count(*),
           coalesce(sum(max(1, CAST(round((returned_at - handed_at) / 86400.0) AS INTEGER)))
                        FILTER (WHERE returned_at IS NOT NULL), 0),
           max(coalesce(returned_at, handed_at))
    FROM custody WHERE item_id = item.id
);

CREATE TRIGGER custody_use_begins AFTER INSERT ON custody BEGIN
    UPDATE item SET
        times_out = times_out + 1,
        nights_out = nights_out + CASE WHEN NEW.returned_at IS NULL THEN 0 ELSE
            max(1, CAST(round((NEW.returned_at - NEW.handed_at) / 86400.0) AS INTEGER)) END,
        last_seen = max(coalesce(NEW.returned_at, NEW.handed_at),
                        coalesce(last_seen, NEW.handed_at))
    WHERE id = NEW.item_id;
END;

CREATE TRIGGER custody_use_ends AFTER UPDATE OF item_id, handed_at, returned_at ON custody
WHEN OLD.returned_at IS NULL AND NEW.returned_at IS NOT NULL
     AND NEW.item_id = OLD.item_id AND NEW.handed_at = OLD.handed_at
BEGIN
    UPDATE item SET
        nights_out = nights_out
            + max(1, CAST(round((NEW.returned_at - NEW.handed_at) / 86400.0) AS INTEGER)),
        last_seen = max(NEW.returned_at, coalesce(last_seen, NEW.returned_at))
    WHERE id = NEW.item_id;
END;

-- A return that is taken back, and whatever else is put right by hand: the piece is counted anew.
CREATE TRIGGER custody_use_mended AFTER UPDATE OF item_id, handed_at, returned_at ON custody
WHEN NOT (OLD.returned_at IS NULL AND NEW.returned_at IS NOT NULL
          AND NEW.item_id = OLD.item_id AND NEW.handed_at = OLD.handed_at)
BEGIN
    UPDATE item SET (times_out, nights_out, last_seen) = (
        SELECT count(*),
               coalesce(sum(max(1, CAST(round((returned_at - handed_at) / 86400.0) AS INTEGER)))
                            FILTER (WHERE returned_at IS NOT NULL), 0),
               max(coalesce(returned_at, handed_at))
        FROM custody WHERE item_id = item.id
    ) WHERE id IN (OLD.item_id, NEW.item_id);
END;

CREATE TRIGGER custody_use_gone AFTER DELETE ON custody BEGIN
    UPDATE item SET (times_out, nights_out, last_seen) = (
        SELECT count(*),
               coalesce(sum(max(1, CAST(round((returned_at - handed_at) / 86400.0) AS INTEGER)))
                            FILTER (WHERE returned_at IS NOT NULL), 0),
               max(coalesce(returned_at, handed_at))
        FROM custody WHERE item_id = item.id
    ) WHERE id = OLD.item_id;
END;

-- The list of what is used most, so that a page is read where it begins.
CREATE INDEX item_by_use ON item (nights_out DESC, asset_tag, times_out) WHERE state <> 'retired';
