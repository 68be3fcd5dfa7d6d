-- The tally: what the bench counts of a batch while it is wound, until a result takes it into the books.

-- +goose Up
CREATE TABLE tally (
    batch     CODE     NOT NULL REFERENCES batches (code),
    number    BIGINT  NOT NULL CHECK (number > 0), -- in the batch, in the order they were made
    kind      CODE     NOT NULL CHECK (kind IN ('begin', 'count', 'spool')),
    at        TIMESTAMPTZ NOT NULL,
    person    TEXT     NOT NULL,
    good      BIGINT  NOT NULL, -- below zero where a count is corrected
    scrapped  BIGINT  NOT NULL,
    reason    TEXT     NOT NULL, -- of scrap
    spool     CODE     REFERENCES spools (code), -- that strings are wound from, from here on
    wire      CODE     REFERENCES wires (code),
    key       CODE, -- idempotency key
    result    BIGINT, -- that took it into the books; NULL: still to come
    undone_at TIMESTAMPTZ,
    PRIMARY KEY (batch, number),
    CHECK ((kind = 'spool') = (spool IS NOT NULL AND wire IS NOT NULL)),
    CHECK (kind = 'count' OR (good = 0 AND scrapped = 0))
);
CREATE UNIQUE INDEX tally_key ON tally (key) WHERE key IS NOT NULL;
