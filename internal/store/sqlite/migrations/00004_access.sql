-- +goose Up
-- What is kept of people and programs: accounts, sessions, links. Only their digests stand
-- here of what they sign in with.
CREATE TABLE access_item (
    unit  TEXT    NOT NULL,
    kind  TEXT    NOT NULL,
    key   TEXT    NOT NULL,
    owner TEXT    NOT NULL,
    until INTEGER NOT NULL, -- seconds since 1970, 0: for ever
    body  BLOB    NOT NULL,
    PRIMARY KEY (unit, kind, key),
    UNIQUE (kind, key)
) STRICT;
CREATE INDEX access_owner ON access_item (kind, owner);
CREATE INDEX access_until ON access_item (until) WHERE until > 0;

-- Who did what, one chain a unit.
CREATE TABLE trace (
    unit     TEXT    NOT NULL,
    position INTEGER NOT NULL CHECK (position > 0),
    text     TEXT    NOT NULL,
    chain    BLOB    NOT NULL CHECK (length(chain) = 32),
    PRIMARY KEY (unit, position)
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER trace_follows BEFORE INSERT ON trace
WHEN NEW.position <> 1 + (SELECT coalesce(max(position), 0) FROM trace WHERE unit = NEW.unit)
BEGIN SELECT RAISE(ABORT, 'positions follow each other'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER trace_stands BEFORE UPDATE ON trace
BEGIN SELECT RAISE(ABORT, 'the trace is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER trace_stays BEFORE DELETE ON trace
BEGIN SELECT RAISE(ABORT, 'the trace is append-only'); END;
-- +goose StatementEnd
