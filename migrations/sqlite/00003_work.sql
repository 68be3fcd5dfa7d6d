-- The work: wire allocated to orders, what batches still hold, results and what became of the strings.

-- +goose Up
-- Why an order was packed or shipped with strings missing; empty where it is whole.
ALTER TABLE orders ADD COLUMN short_reason TEXT NOT NULL DEFAULT '';

-- What of a draw is still promised on its spool: all of it when the plan is released, nothing once the batch is finished.
ALTER TABLE batch_draws ADD COLUMN allocated INTEGER NOT NULL DEFAULT 0 CHECK (allocated BETWEEN 0 AND mass);
-- The wire of one string in nanograms, as the plan counted it; 0 where that was not noted.
ALTER TABLE batch_draws ADD COLUMN mass_each INTEGER NOT NULL DEFAULT 0 CHECK (mass_each >= 0);
UPDATE batch_draws SET allocated = mass WHERE batch IN (SELECT code FROM batches WHERE status = 'released');
CREATE INDEX batch_draws_spool ON batch_draws (spool);

-- Wire promised to the strings of an order that are in no released batch yet.
CREATE TABLE order_allocations (
    order_code TEXT    NOT NULL REFERENCES orders (code),
    wire       TEXT    NOT NULL REFERENCES wires (code),
    needed     INTEGER NOT NULL CHECK (needed > 0), -- by its open strings, when it was last looked at
    mass       INTEGER NOT NULL CHECK (mass BETWEEN 0 AND needed),
    PRIMARY KEY (order_code, wire)
) STRICT;
CREATE INDEX order_allocations_wire ON order_allocations (wire);
CREATE INDEX order_allocations_short ON order_allocations (wire) WHERE mass < needed;

-- What came off the machine. One that was wrong is undone, not changed: its movements are reversed.
CREATE TABLE results (
    batch       TEXT     NOT NULL REFERENCES batches (code),
    number      INTEGER  NOT NULL CHECK (number > 0), -- in the order they were posted
    wound_on    TEXT     NOT NULL CHECK (length(wound_on) = 10),
    good        INTEGER  NOT NULL CHECK (good >= 0),
    scrapped    INTEGER  NOT NULL CHECK (scrapped >= 0),
    minutes     INTEGER  NOT NULL CHECK (minutes >= 0),
    person      TEXT     NOT NULL,                     -- who wound
    continues   INTEGER  NOT NULL CHECK (continues IN (0, 1)), -- 1: the batch goes on
    posted_at   DATETIME NOT NULL,
    posted_by   TEXT     NOT NULL,
    key         TEXT,                                  -- idempotency key
    undone_at   DATETIME,
    undone_by   TEXT     NOT NULL DEFAULT '',
    undo_reason TEXT     NOT NULL DEFAULT '',
    PRIMARY KEY (batch, number)
);
CREATE UNIQUE INDEX results_key ON results (key) WHERE key IS NOT NULL AND undone_at IS NULL;

-- The wire a result took from one spool, with the movement that posted it.
CREATE TABLE result_draws (
    batch     TEXT    NOT NULL,
    number    INTEGER NOT NULL,
    spool     TEXT    NOT NULL REFERENCES spools (code),
    wire      TEXT    NOT NULL REFERENCES wires (code),
    strings   INTEGER NOT NULL CHECK (strings > 0),
    mass_each INTEGER NOT NULL CHECK (mass_each >= 0), -- nanograms of the wire in one string
    mass      INTEGER NOT NULL CHECK (mass >= 0),
    movement  INTEGER NOT NULL UNIQUE REFERENCES movements (id),
    PRIMARY KEY (batch, number, spool),
    FOREIGN KEY (batch, number) REFERENCES results (batch, number)
) STRICT;
CREATE INDEX result_draws_spool ON result_draws (spool);

-- Where the good strings of a result went: to a string of an order, or to finished stock.
CREATE TABLE result_strings (
    batch      TEXT    NOT NULL,
    number     INTEGER NOT NULL,
    part       INTEGER NOT NULL CHECK (part > 0),
    order_code TEXT,                                   -- NULL: finished stock
    line       INTEGER NOT NULL,
    position   INTEGER NOT NULL,
    strings    INTEGER NOT NULL CHECK (strings > 0),
    PRIMARY KEY (batch, number, part),
    FOREIGN KEY (batch, number) REFERENCES results (batch, number),
    FOREIGN KEY (order_code, line, position) REFERENCES order_strings (order_code, line, position)
) STRICT;
CREATE INDEX result_strings_order ON result_strings (order_code);

-- What came off the machine of each recipe, kept: the sums of its results that stand. Yields are learned from them.
CREATE TABLE recipe_results (
    recipe   TEXT    PRIMARY KEY REFERENCES recipes (code),
    good     INTEGER NOT NULL CHECK (good >= 0),
    scrapped INTEGER NOT NULL CHECK (scrapped >= 0)
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER results_no_delete BEFORE DELETE ON results
BEGIN SELECT RAISE(ABORT, 'append only: a result is never deleted; undo it'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER results_only_undo BEFORE UPDATE ON results
WHEN OLD.undone_at IS NOT NULL OR NEW.undone_at IS NULL OR NEW.batch <> OLD.batch OR NEW.number <> OLD.number
    OR NEW.wound_on <> OLD.wound_on OR NEW.good <> OLD.good OR NEW.scrapped <> OLD.scrapped OR NEW.minutes <> OLD.minutes
    OR NEW.person <> OLD.person OR NEW.continues <> OLD.continues
BEGIN SELECT RAISE(ABORT, 'append only: a result is never changed; undo it and post it again'); END;
-- +goose StatementEnd
