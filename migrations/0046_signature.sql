-- What a borrower, or who answers for them, signed: at the desk, or before on a device of their own.
-- The newest one counts. It holds for the pieces and the cautions that were shown with it.
CREATE TABLE signature (
    reservation_id   INTEGER PRIMARY KEY REFERENCES reservation (id) ON DELETE CASCADE,
    name             TEXT NOT NULL
        CONSTRAINT signature_name CHECK (length(name) BETWEEN 1 AND 120),
    guardian         TEXT CONSTRAINT signature_guardian CHECK (length(guardian) BETWEEN 1 AND 120),
    -- The lines drawn, as a path of whole numbers in a box of 600 by 200; empty where a name was
    -- typed only.
    strokes          TEXT NOT NULL DEFAULT ''
        CONSTRAINT signature_strokes CHECK (
            length(strokes) <= 20000 AND NOT strokes GLOB '*[^ML0-9 ]*'
        ),
    -- desk: before whoever handed over. link: alone, on a page of their own.
    way              TEXT NOT NULL CONSTRAINT signature_way CHECK (way IN ('desk', 'link')),
    items            TEXT NOT NULL CONSTRAINT signature_items CHECK (json_valid(items)),
    cautions_version INTEGER NOT NULL CONSTRAINT signature_cautions CHECK (cautions_version >= 1),
    signed_at        INTEGER NOT NULL CONSTRAINT signature_signed_at CHECK (signed_at >= 0)
) STRICT;
