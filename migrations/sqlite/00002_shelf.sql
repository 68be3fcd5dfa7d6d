-- The shelf: the shop's scale, spool types with their tares, deliveries, quarantine, weighings and who bears their differences.

-- +goose Up
ALTER TABLE practice ADD COLUMN scale_resolution INTEGER NOT NULL DEFAULT 100;
ALTER TABLE practice ADD COLUMN loss_of_drawn    REAL    NOT NULL DEFAULT 0.05;
ALTER TABLE practice ADD COLUMN loss_of_received REAL    NOT NULL DEFAULT 0.02;

CREATE TABLE spool_types (
    code TEXT PRIMARY KEY
) STRICT;
CREATE UNIQUE INDEX spool_types_code ON spool_types (lower(code));

-- Every empty spool that was weighed: what a type's tare is learned from.
CREATE TABLE empty_spools (
    spool_type TEXT     NOT NULL REFERENCES spool_types (code),
    number     INTEGER  NOT NULL CHECK (number > 0),
    mass       INTEGER  NOT NULL CHECK (mass > 0),
    weighed_at DATETIME NOT NULL,
    person     TEXT     NOT NULL,
    key        TEXT, -- idempotency key
    PRIMARY KEY (spool_type, number)
);
CREATE UNIQUE INDEX empty_spools_key ON empty_spools (key) WHERE key IS NOT NULL;

-- Spools that came in together. Their costs sum to cost and freight.
CREATE TABLE deliveries (
    code      TEXT     PRIMARY KEY,
    cost      INTEGER  NOT NULL CHECK (cost >= 0),
    freight   INTEGER  NOT NULL CHECK (freight >= 0),
    posted_at DATETIME NOT NULL,
    person    TEXT     NOT NULL
);
CREATE UNIQUE INDEX deliveries_code ON deliveries (lower(code));

ALTER TABLE spools ADD COLUMN spool_type TEXT REFERENCES spool_types (code); -- whose learned tare stands for its own
ALTER TABLE spools ADD COLUMN delivery TEXT REFERENCES deliveries (code);
ALTER TABLE spools ADD COLUMN state TEXT NOT NULL DEFAULT 'available' CHECK (state IN ('available', 'quarantined'));
CREATE INDEX spools_delivery ON spools (delivery) WHERE delivery IS NOT NULL;

-- What the scale said when a weigh-back or count was posted. book and uncertainty are those of that moment.
CREATE TABLE weighings (
    movement    INTEGER PRIMARY KEY REFERENCES movements (id),
    gross       INTEGER NOT NULL CHECK (gross >= 0),
    tare        INTEGER NOT NULL CHECK (tare >= 0),
    book        INTEGER NOT NULL,
    net         INTEGER NOT NULL CHECK (net >= 0),
    uncertainty INTEGER NOT NULL CHECK (uncertainty >= 0), -- of the difference, k = 2
    noise       INTEGER NOT NULL CHECK (noise IN (0, 1)),
    surprise    TEXT    NOT NULL,                          -- what was confirmed; empty for none
    note        TEXT    NOT NULL
) STRICT;

CREATE TABLE weighing_shares (
    movement INTEGER NOT NULL REFERENCES weighings (movement),
    number   INTEGER NOT NULL CHECK (number > 0),
    batch    TEXT    REFERENCES batches (code), -- NULL: nobody's
    mass     INTEGER NOT NULL CHECK (mass <> 0),
    PRIMARY KEY (movement, number)
) STRICT;
CREATE INDEX weighing_shares_batch ON weighing_shares (batch) WHERE batch IS NOT NULL;

-- +goose StatementBegin
CREATE TRIGGER weighings_no_update BEFORE UPDATE ON weighings
BEGIN SELECT RAISE(ABORT, 'append only: a weighing is never changed; weigh again'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER weighings_no_delete BEFORE DELETE ON weighings
BEGIN SELECT RAISE(ABORT, 'append only: a weighing is never deleted; weigh again'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER weighing_shares_no_update BEFORE UPDATE ON weighing_shares
BEGIN SELECT RAISE(ABORT, 'append only: a share is never changed; weigh again'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER weighing_shares_no_delete BEFORE DELETE ON weighing_shares
BEGIN SELECT RAISE(ABORT, 'append only: a share is never deleted; weigh again'); END;
-- +goose StatementEnd
