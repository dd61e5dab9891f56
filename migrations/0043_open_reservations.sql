-- What a member has that is not over is counted with each wish; it must not read what is over.
CREATE INDEX reservation_open_by_member ON reservation (member_id)
    WHERE state IN ('requested', 'confirmed', 'ready', 'out');
-- A member's reservations, the newest first, page by page.
CREATE INDEX reservation_newest_by_member ON reservation (member_id, id);
-- Pieces that are promised, still in store or out: what is late, and what is next at risk.
CREATE INDEX reservation_item_under_way ON reservation_item (item_id, reservation_id)
    WHERE state IN ('planned', 'out');
CREATE INDEX item_out_of_service ON item (id) WHERE state <> 'in_service';
