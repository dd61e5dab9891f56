-- Who can sign in, and with what. Instants are whole seconds since 1970, UTC.

CREATE TABLE account (
    id            INTEGER PRIMARY KEY,
    -- The person this account belongs to in the list of members, if any.
    member_id     INTEGER UNIQUE REFERENCES member (id),
    name          TEXT NOT NULL
                  CONSTRAINT account_name_is_short CHECK (length(trim(name)) BETWEEN 1 AND 120),
    email         TEXT NOT NULL UNIQUE COLLATE NOCASE
                  CONSTRAINT account_email_is_one
                  CHECK (length(email) BETWEEN 3 AND 254 AND email LIKE '_%@_%'),
    -- Argon2id as a PHC string; empty until the person has chosen a password.
    password_hash TEXT
                  CONSTRAINT account_password_is_argon2id
                  CHECK (password_hash LIKE '$argon2id$%'),
    created_at    INTEGER NOT NULL,
    disabled_at   INTEGER
) STRICT;

CREATE TABLE account_role (
    account_id INTEGER NOT NULL REFERENCES account (id) ON DELETE CASCADE,
    role       TEXT NOT NULL
               CONSTRAINT account_role_is_known
               CHECK (role IN ('member', 'quartermaster', 'outreach', 'admin')),
    PRIMARY KEY (account_id, role)
) STRICT, WITHOUT ROWID;

-- A session's id is a secret; only its SHA-256 is kept.
CREATE TABLE session (
    id_hash      BLOB PRIMARY KEY CONSTRAINT session_hash_is_whole CHECK (length(id_hash) = 32),
    account_id   INTEGER NOT NULL REFERENCES account (id) ON DELETE CASCADE,
    created_at   INTEGER NOT NULL,
    last_seen_at INTEGER NOT NULL,
    expires_at   INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX session_by_account ON session (account_id);
CREATE INDEX session_by_expiry ON session (expires_at);

CREATE TABLE access_token (
    id         INTEGER PRIMARY KEY,
    account_id INTEGER NOT NULL REFERENCES account (id) ON DELETE CASCADE,
    name       TEXT NOT NULL
               CONSTRAINT access_token_name_is_short CHECK (length(trim(name)) BETWEEN 1 AND 80),
    token_hash BLOB NOT NULL UNIQUE
               CONSTRAINT access_token_hash_is_whole CHECK (length(token_hash) = 32),
    scope      TEXT NOT NULL
               CONSTRAINT access_token_scope_is_known CHECK (scope IN ('read', 'write')),
    created_at INTEGER NOT NULL,
    expires_at INTEGER,
    revoked_at INTEGER
) STRICT;
CREATE INDEX access_token_by_account ON access_token (account_id);

-- A one-time link. Without an account it makes the first administrator.
CREATE TABLE setup_link (
    token_hash BLOB PRIMARY KEY
               CONSTRAINT setup_link_hash_is_whole CHECK (length(token_hash) = 32),
    account_id INTEGER REFERENCES account (id) ON DELETE CASCADE,
    created_at INTEGER NOT NULL,
    expires_at INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- Failed sign-ins, by account name and by client address (both hashed: nobody needs to read them).
CREATE TABLE sign_in_failure (
    subject_hash BLOB PRIMARY KEY
                 CONSTRAINT sign_in_failure_hash_is_whole CHECK (length(subject_hash) = 32),
    failures     INTEGER NOT NULL CHECK (failures > 0),
    last_at      INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX sign_in_failure_by_age ON sign_in_failure (last_at);
