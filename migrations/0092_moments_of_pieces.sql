-- A piece's life is told by when things were written down, stretch by stretch, and never read whole.
CREATE INDEX inspection_by_moment ON inspection (item_id, noted_at);
CREATE INDEX item_change_by_moment ON item_change (item_id, changed_at, version);
