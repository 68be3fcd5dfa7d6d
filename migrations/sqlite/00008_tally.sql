-- The tally: what the bench counts of a batch while it is wound, until a result takes it into the books.

-- +goose Up
CREATE TABLE tally (
    batch     TEXT     NOT NULL REFERENCES batches (code),
    number    INTEGER  NOT NULL CHECK (number > 0), -- in the batch, in the order they were made
    kind      TEXT     NOT NULL CHECK (kind IN ('begin', 'count', 'spool')),
    at        DATETIME NOT NULL,
    person    TEXT     NOT NULL,
    good      INTEGER  NOT NULL, -- below zero where a count is corrected
    scrapped  INTEGER  NOT NULL,
    reason    TEXT     NOT NULL, -- of scrap
    spool     TEXT     REFERENCES spools (code), -- that strings are wound from, from here on
    wire      TEXT     REFERENCES wires (code),
    key       TEXT, -- idempotency key
    result    INTEGER, -- that took it into the books; NULL: still to come
    undone_at DATETIME,
    PRIMARY KEY (batch, number),
    CHECK ((kind = 'spool') = (spool IS NOT NULL AND wire IS NOT NULL)),
    CHECK (kind = 'count' OR (good = 0 AND scrapped = 0))
);
CREATE UNIQUE INDEX tally_key ON tally (key) WHERE key IS NOT NULL;
