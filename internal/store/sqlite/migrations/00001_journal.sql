-- +goose Up
-- One row an entry. Text is the canonical JSON that the chain is made of.
CREATE TABLE journal (
    unit     TEXT    NOT NULL,
    position INTEGER NOT NULL CHECK (position > 0),
    id       TEXT    NOT NULL CHECK (length(id) = 36),
    infant   TEXT    NOT NULL,
    kind     TEXT    NOT NULL,
    text     TEXT    NOT NULL,
    accepted TEXT    NOT NULL,
    chain    BLOB    NOT NULL CHECK (length(chain) = 32),
    PRIMARY KEY (unit, position),
    UNIQUE (unit, id)
) STRICT;
CREATE INDEX journal_infant ON journal (unit, infant, position);

CREATE TABLE policy (
    unit TEXT NOT NULL,
    hash TEXT NOT NULL CHECK (length(hash) = 64),
    text TEXT NOT NULL,
    PRIMARY KEY (unit, hash)
) STRICT;

CREATE TABLE signed (
    unit     TEXT    NOT NULL,
    id       TEXT    NOT NULL,
    position INTEGER NOT NULL,
    chain    BLOB    NOT NULL CHECK (length(chain) = 32),
    policy   TEXT    NOT NULL,
    engine   TEXT    NOT NULL,
    digest   TEXT    NOT NULL,
    json     BLOB    NOT NULL, -- gzip
    PRIMARY KEY (unit, id),
    FOREIGN KEY (unit, id) REFERENCES journal (unit, id),
    FOREIGN KEY (unit, policy) REFERENCES policy (unit, hash)
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER journal_follows BEFORE INSERT ON journal
WHEN NEW.position <> 1 + (SELECT coalesce(max(position), 0) FROM journal WHERE unit = NEW.unit)
BEGIN SELECT RAISE(ABORT, 'positions follow each other'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER journal_stands BEFORE UPDATE ON journal
BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER journal_stays BEFORE DELETE ON journal
BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER policy_stands BEFORE UPDATE ON policy
BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER policy_stays BEFORE DELETE ON policy
BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER signed_stands BEFORE UPDATE ON signed
BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER signed_stays BEFORE DELETE ON signed
BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
-- +goose StatementEnd
-- Tells a record of this program from another program's file ('cotl').
PRAGMA application_id = 1668248684;
