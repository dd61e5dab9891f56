-- Who did what to which record, when, and from where. Entries are added and never changed, except
-- that addresses are shortened once they are old. Nobody's name is in here: names are looked up
-- when the log is read, so that they go when a person has gone.
CREATE TABLE audit (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    at           INTEGER NOT NULL,
    -- The account that did it. Not a reference: entries outlive accounts.
    account      INTEGER,
    -- How it came in: from a page, a program, a one-time link, the command line, the service.
    means        TEXT NOT NULL
                 CONSTRAINT audit_means_is_known
                 CHECK (means IN ('page', 'program', 'link', 'command', 'service')),
    deed         TEXT NOT NULL
                 CONSTRAINT audit_deed_is_short CHECK (length(deed) BETWEEN 3 AND 80),
    subject_kind TEXT
                 CONSTRAINT audit_subject_is_a_word
                 CHECK (length(subject_kind) BETWEEN 1 AND 40
                        AND NOT subject_kind GLOB '*[^a-z_ ]*'),
    subject_id   INTEGER,
    detail       TEXT NOT NULL DEFAULT ''
                 CONSTRAINT audit_detail_is_short CHECK (length(detail) <= 300),
    -- Whole at first ('192.0.2.17'), later its beginning and a star ('192.0.2.*').
    address      TEXT
                 CONSTRAINT audit_address_is_short CHECK (length(address) BETWEEN 2 AND 45),
    CONSTRAINT audit_subject_has_a_kind CHECK (subject_id IS NULL OR subject_kind IS NOT NULL)
) STRICT;
CREATE INDEX audit_by_time ON audit (at, id);
CREATE INDEX audit_by_account ON audit (account, at, id);
CREATE INDEX audit_by_subject ON audit (subject_kind, subject_id, at, id);
CREATE INDEX audit_by_deed ON audit (deed, at, id);
-- Those whose addresses are still whole.
CREATE INDEX audit_with_whole_address ON audit (at)
    WHERE address IS NOT NULL AND substr(address, -1) <> '*';

CREATE TRIGGER audit_is_never_deleted BEFORE DELETE ON audit
BEGIN
    SELECT RAISE(ABORT, 'audit entries are never deleted');
END;

-- INSERT OR REPLACE deletes without asking the trigger above.
CREATE TRIGGER audit_is_never_replaced BEFORE INSERT ON audit
WHEN EXISTS (SELECT 1 FROM audit WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'audit entries are never replaced');
END;

CREATE TRIGGER audit_is_never_changed BEFORE UPDATE ON audit
WHEN NOT (
    NEW.id IS OLD.id AND NEW.at IS OLD.at AND NEW.account IS OLD.account
    AND NEW.means IS OLD.means AND NEW.deed IS OLD.deed
    AND NEW.subject_kind IS OLD.subject_kind AND NEW.subject_id IS OLD.subject_id
    AND NEW.detail IS OLD.detail
    -- Shortening alone is allowed: the old address's beginning, then a star, and only once.
    AND OLD.address IS NOT NULL AND NEW.address IS NOT NULL
    AND substr(OLD.address, -1) <> '*' AND substr(NEW.address, -1) = '*'
    AND length(NEW.address) <= length(OLD.address)
    AND substr(OLD.address, 1, length(NEW.address) - 1)
        = substr(NEW.address, 1, length(NEW.address) - 1)
)
BEGIN
    SELECT RAISE(ABORT, 'audit entries are never changed');
END;
