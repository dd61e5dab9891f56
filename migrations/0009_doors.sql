-- A second factor beside the password, and what a session shows of itself to its owner.

-- The secret that a person's app shares with us (RFC 6238). Not in force until a code of it was
-- seen. `last_step` is the time step of the last code that was taken: none is taken twice.
CREATE TABLE second_factor (
    account_id   INTEGER PRIMARY KEY REFERENCES account (id) ON DELETE CASCADE,
    secret       BLOB NOT NULL CONSTRAINT second_factor_secret_is_whole CHECK (length(secret) = 20),
    made_at      INTEGER NOT NULL,
    confirmed_at INTEGER,
    last_step    INTEGER NOT NULL DEFAULT 0
) STRICT;

-- Codes on paper for the day the phone is lost; each works once, only hashes are kept.
CREATE TABLE recovery_code (
    account_id INTEGER NOT NULL REFERENCES account (id) ON DELETE CASCADE,
    code_hash  BLOB NOT NULL CONSTRAINT recovery_code_hash_is_whole CHECK (length(code_hash) = 32),
    used_at    INTEGER,
    PRIMARY KEY (account_id, code_hash)
) STRICT, WITHOUT ROWID;

-- Somebody who has proven the first factor and still owes the second.
CREATE TABLE half_sign_in (
    token_hash BLOB PRIMARY KEY CONSTRAINT half_sign_in_hash_is_whole CHECK (length(token_hash) = 32),
    account_id INTEGER NOT NULL REFERENCES account (id) ON DELETE CASCADE,
    next       TEXT NOT NULL,
    created_at INTEGER NOT NULL,
    expires_at INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX half_sign_in_by_account ON half_sign_in (account_id);

-- Links that travel by mail; each works once, only hashes are kept.
CREATE TABLE mail_link (
    token_hash BLOB PRIMARY KEY CONSTRAINT mail_link_hash_is_whole CHECK (length(token_hash) = 32),
    account_id INTEGER NOT NULL REFERENCES account (id) ON DELETE CASCADE,
    purpose    TEXT NOT NULL
        CONSTRAINT mail_link_purpose CHECK (purpose IN ('sign_in', 'password', 'email')),
    -- The new address, where the link proves that it is its owner's.
    email      TEXT CONSTRAINT mail_link_email CHECK (length(email) BETWEEN 3 AND 254),
    created_at INTEGER NOT NULL,
    expires_at INTEGER NOT NULL,
    CONSTRAINT mail_link_email_has_its_purpose CHECK ((purpose = 'email') = (email IS NOT NULL))
) STRICT, WITHOUT ROWID;
CREATE INDEX mail_link_by_account ON mail_link (account_id, purpose);

-- Failures since the last success, over all days: at a hundred a link is needed.
ALTER TABLE account ADD COLUMN failures_in_a_row INTEGER NOT NULL DEFAULT 0
    CONSTRAINT account_failures CHECK (failures_in_a_row >= 0);

-- What its owner recognises a session by: the address without its end, and the kind of browser.
ALTER TABLE session ADD COLUMN place TEXT
    CONSTRAINT session_place_is_short CHECK (length(place) <= 60);
ALTER TABLE session ADD COLUMN browser TEXT
    CONSTRAINT session_browser_is_short CHECK (length(browser) <= 60);
