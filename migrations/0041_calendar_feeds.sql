-- Addresses under which calendar programs fetch somebody's loans, or the club's. The address is a
-- secret, so only its hash is kept; a new one takes the place of the old.
CREATE TABLE calendar_feed (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    account_id   INTEGER NOT NULL REFERENCES account (id),
    kind         TEXT NOT NULL CONSTRAINT calendar_feed_kind CHECK (kind IN ('mine', 'club')),
    secret_hash  BLOB NOT NULL UNIQUE
        CONSTRAINT calendar_feed_hash_is_whole CHECK (length(secret_hash) = 32),
    created_at   INTEGER NOT NULL CONSTRAINT calendar_feed_created_at CHECK (created_at >= 0),
    last_used_on TEXT,
    UNIQUE (account_id, kind)
) STRICT;
