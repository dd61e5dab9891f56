-- What a piece is sorted by when somebody asks for sizes: aperture, focal length or factor, 0 where it
-- has none. Kept by the database itself, so that nobody who writes figures can forget it.
ALTER TABLE item ADD COLUMN size REAL NOT NULL DEFAULT 0;
UPDATE item SET size = coalesce(
    (SELECT aperture_mm FROM telescope WHERE item_id = item.id),
    (SELECT focal_length_mm FROM eyepiece WHERE item_id = item.id),
    (SELECT factor FROM barlow WHERE item_id = item.id),
    0
);

CREATE TRIGGER telescope_size_new AFTER INSERT ON telescope BEGIN
    UPDATE item SET size = NEW.aperture_mm WHERE id = NEW.item_id;
END;
CREATE TRIGGER telescope_size AFTER UPDATE OF aperture_mm ON telescope BEGIN
    UPDATE item SET size = NEW.aperture_mm WHERE id = NEW.item_id;
END;
CREATE TRIGGER eyepiece_size_new AFTER INSERT ON eyepiece BEGIN
    UPDATE item SET size = NEW.focal_length_mm WHERE id = NEW.item_id;
END;
CREATE TRIGGER eyepiece_size AFTER UPDATE OF focal_length_mm ON eyepiece BEGIN
    UPDATE item SET size = NEW.focal_length_mm WHERE id = NEW.item_id;
END;
CREATE TRIGGER barlow_size_new AFTER INSERT ON barlow BEGIN
    UPDATE item SET size = NEW.factor WHERE id = NEW.item_id;
END;
CREATE TRIGGER barlow_size AFTER UPDATE OF factor ON barlow BEGIN
    UPDATE item SET size = NEW.factor WHERE id = NEW.item_id;
END;

-- The orders of the list, so that a page is read where it begins.
CREATE INDEX item_by_name ON item (lower(name), asset_tag);
CREATE INDEX item_by_size ON item (size, asset_tag);
