-- Letters, written in the transaction that gives the reason for them. They stay readable on their
-- reader's page whether or not mail can be sent. Instants are whole seconds since 1970, UTC.
CREATE TABLE letter (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    -- Says what the letter is about, so that one reason never gives two letters.
    letter_key TEXT NOT NULL
        CONSTRAINT letter_key_is_short CHECK (length(letter_key) BETWEEN 1 AND 200),
    kind       TEXT NOT NULL
        CONSTRAINT letter_kind_is_short CHECK (length(kind) BETWEEN 1 AND 40),
    -- Essential letters go to those too who asked for no others.
    essential  INTEGER NOT NULL CONSTRAINT letter_essential CHECK (essential IN (0, 1)),
    member_id  INTEGER REFERENCES member (id) ON DELETE CASCADE,
    account_id INTEGER REFERENCES account (id) ON DELETE CASCADE,
    -- Becomes a header of the mail: no line may end in it.
    subject    TEXT NOT NULL
        CONSTRAINT letter_subject_is_one_line CHECK (
            length(subject) BETWEEN 1 AND 200
            AND instr(subject, char(10)) = 0 AND instr(subject, char(13)) = 0
        ),
    body       TEXT NOT NULL
        CONSTRAINT letter_body_is_readable CHECK (json_valid(body) AND length(body) <= 40000),
    created_at INTEGER NOT NULL,
    not_before INTEGER NOT NULL,
    -- After this it would mislead; it stays on the page.
    not_after  INTEGER NOT NULL,
    state      TEXT NOT NULL DEFAULT 'waiting'
        CONSTRAINT letter_state
        CHECK (state IN ('waiting', 'sending', 'sent', 'kept', 'refused', 'unclear')),
    attempts   INTEGER NOT NULL DEFAULT 0 CONSTRAINT letter_attempts CHECK (attempts >= 0),
    next_at    INTEGER NOT NULL,
    -- Why it was not sent, in the mail server's words or ours.
    reason     TEXT,
    settled_at INTEGER,
    CONSTRAINT letter_is_written_once UNIQUE (letter_key),
    CONSTRAINT letter_has_one_reader CHECK ((member_id IS NULL) <> (account_id IS NULL)),
    CONSTRAINT letter_window CHECK (not_after > not_before)
) STRICT;
CREATE INDEX letter_due ON letter (next_at, id) WHERE state = 'waiting';
CREATE INDEX letter_under_way ON letter (id) WHERE state = 'sending';
CREATE INDEX letter_in_trouble ON letter (id) WHERE state IN ('refused', 'unclear');
CREATE INDEX letter_by_member ON letter (member_id, id) WHERE member_id IS NOT NULL;
CREATE INDEX letter_by_account ON letter (account_id, id) WHERE account_id IS NOT NULL;

-- Who asked for essential letters only.
CREATE TABLE letter_quiet (
    account_id INTEGER PRIMARY KEY REFERENCES account (id) ON DELETE CASCADE,
    since      INTEGER NOT NULL
) STRICT;
