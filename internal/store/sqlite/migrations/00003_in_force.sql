-- +goose Up
-- Which policies were put in force, one after the other, and from which position on. A
-- record that was made before has none until the first is charted into it.
CREATE TABLE in_force (
    unit     TEXT    NOT NULL,
    n        INTEGER NOT NULL CHECK (n > 0),
    position INTEGER NOT NULL CHECK (position > 0),
    accepted TEXT    NOT NULL,
    policy   TEXT    NOT NULL,
    PRIMARY KEY (unit, n),
    FOREIGN KEY (unit, policy) REFERENCES policy (unit, hash)
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER in_force_follows BEFORE INSERT ON in_force
WHEN NEW.n <> 1 + (SELECT coalesce(max(n), 0) FROM in_force WHERE unit = NEW.unit)
BEGIN SELECT RAISE(ABORT, 'one after the other'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER in_force_stands BEFORE UPDATE ON in_force
BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER in_force_stays BEFORE DELETE ON in_force
BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
-- +goose StatementEnd
