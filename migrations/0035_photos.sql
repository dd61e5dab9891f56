-- Photos of pieces, as this service wrote them anew: nothing that came in is kept byte for byte.
CREATE TABLE photo (
    -- Never used again, so that what browsers keep under an address stays true.
    id            INTEGER PRIMARY KEY AUTOINCREMENT,
    item_id       INTEGER NOT NULL REFERENCES item (id) ON DELETE CASCADE,
    occasion      TEXT NOT NULL
        CONSTRAINT photo_occasion CHECK (occasion IN ('shelf', 'inspection', 'return')),
    -- The inspection it was taken at.
    inspection_id INTEGER REFERENCES inspection (id) ON DELETE SET NULL,
    width_px      INTEGER NOT NULL CONSTRAINT photo_width CHECK (width_px BETWEEN 1 AND 1600),
    height_px     INTEGER NOT NULL CONSTRAINT photo_height CHECK (height_px BETWEEN 1 AND 1600),
    -- SHA-256 of the large one's bytes.
    digest        BLOB NOT NULL CONSTRAINT photo_digest CHECK (length(digest) = 32),
    -- Seconds since 1970.
    added_at      INTEGER NOT NULL CONSTRAINT photo_added CHECK (added_at >= 0),
    added_by      INTEGER REFERENCES account (id) ON DELETE SET NULL,
    CONSTRAINT photo_of_an_inspection CHECK (inspection_id IS NULL OR occasion = 'inspection')
) STRICT;
CREATE INDEX photo_by_item ON photo (item_id);
CREATE INDEX photo_by_inspection ON photo (inspection_id) WHERE inspection_id IS NOT NULL;
CREATE INDEX photo_by_account ON photo (added_by) WHERE added_by IS NOT NULL;

-- The bytes in a table of their own, so that no list of photos reads them along.
CREATE TABLE photo_file (
    photo_id INTEGER NOT NULL REFERENCES photo (id) ON DELETE CASCADE,
    size     TEXT NOT NULL CONSTRAINT photo_file_size CHECK (size IN ('large', 'small')),
    bytes    BLOB NOT NULL CONSTRAINT photo_file_bytes CHECK (length(bytes) BETWEEN 1 AND 4000000),
    PRIMARY KEY (photo_id, size)
) STRICT;
