-- Asking to join. Whether anybody may ask is the club's to say; without a row nobody may.
CREATE TABLE joining (
    id   INTEGER PRIMARY KEY CONSTRAINT joining_is_one_row CHECK (id = 1),
    open INTEGER NOT NULL CONSTRAINT joining_is_yes_or_no CHECK (open IN (0, 1))
) STRICT;

-- Those who wait for an administrator's answer.
CREATE TABLE join_request (
    id       INTEGER PRIMARY KEY AUTOINCREMENT,
    name     TEXT NOT NULL
             CONSTRAINT join_request_name_is_short CHECK (length(trim(name)) BETWEEN 1 AND 120),
    email    TEXT NOT NULL UNIQUE COLLATE NOCASE
             CONSTRAINT join_request_email_is_one
             CHECK (length(email) BETWEEN 3 AND 254 AND email LIKE '_%@_%'),
    says     TEXT NOT NULL DEFAULT ''
             CONSTRAINT join_request_is_short CHECK (length(says) <= 500),
    asked_at INTEGER NOT NULL
) STRICT;
