-- Diagonals, coma correctors, power packs, cases, finders and whatever else is lent: a fifth kind.
-- Which kinds there are is a CHECK of the item's table, and every other table hangs on that one, so
-- its text is changed where it stands, as sqlite.org/lang_altertable.html (section 7) describes for
-- changes that touch no stored row. A test puts an accessory into a filled database.
PRAGMA writable_schema = ON;
UPDATE sqlite_schema
SET sql = replace(sql, '''barlow'', ''filter'')', '''barlow'', ''filter'', ''accessory'')')
WHERE type = 'table' AND name = 'item';
PRAGMA writable_schema = RESET;

CREATE TABLE accessory (
    item_id       INTEGER PRIMARY KEY,
    item_kind     TEXT NOT NULL DEFAULT 'accessory'
        CONSTRAINT accessory_item_kind CHECK (item_kind = 'accessory'),
    kind          TEXT NOT NULL
        CONSTRAINT accessory_kind CHECK (
            kind IN ('diagonal', 'coma_corrector', 'power_pack', 'case', 'finder', 'other')
        ),
    barrel_mm     REAL
        CONSTRAINT accessory_barrel CHECK (barrel_mm IN (24.5, 31.75, 50.8)),
    -- How far the light travels inside it, which the focuser has to give.
    light_path_mm REAL
        CONSTRAINT accessory_light_path CHECK (light_path_mm BETWEEN 1 AND 500),
    -- Of a coma corrector: how many times it lengthens the focal length.
    factor        REAL
        CONSTRAINT accessory_factor CHECK (factor BETWEEN 0.5 AND 2),
    -- Of a power pack.
    capacity_wh   REAL
        CONSTRAINT accessory_capacity CHECK (capacity_wh BETWEEN 1 AND 5000),
    CONSTRAINT accessory_factor_of_what CHECK (factor IS NULL OR kind = 'coma_corrector'),
    CONSTRAINT accessory_capacity_of_what CHECK (capacity_wh IS NULL OR kind = 'power_pack'),
    FOREIGN KEY (item_id, item_kind) REFERENCES item (id, kind) ON DELETE CASCADE
) STRICT;
