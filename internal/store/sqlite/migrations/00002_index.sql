-- +goose Up
-- What proves a reading whole, and finds entries: made of the rows, and made anew
-- from them where it is lost. A record that was made before keeps its rows as they
-- are; the first that is charted into it fills these.
CREATE TABLE top (
    unit TEXT NOT NULL PRIMARY KEY,
    body BLOB NOT NULL
) STRICT;

CREATE TABLE node (
    unit TEXT    NOT NULL,
    id   INTEGER NOT NULL,
    body BLOB    NOT NULL,
    PRIMARY KEY (unit, id)
) STRICT;

CREATE TABLE link (
    unit     TEXT    NOT NULL,
    stream   TEXT    NOT NULL,
    n        INTEGER NOT NULL CHECK (n > 0),
    position INTEGER NOT NULL,
    PRIMARY KEY (unit, stream, n)
) STRICT, WITHOUT ROWID;

DROP INDEX journal_infant;
-- 1: the whole ward as JSON; 2: the infants that it names.
ALTER TABLE signed ADD COLUMN form INTEGER NOT NULL DEFAULT 1;
