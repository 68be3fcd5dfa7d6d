-- The books: months closed and reopened with the figures they were closed with, the books' method of each alloy family, suppliers'
-- invoices of purchases.

-- +goose Up
-- The figures a month was closed with, as JSON; figures_hash is over them and over the month's movements.
ALTER TABLE periods ADD COLUMN figures TEXT NOT NULL DEFAULT '';

-- Every closing and reopening, for ever.
CREATE TABLE closings (
    number       INTEGER  PRIMARY KEY, -- in the order they happened, 1 upwards
    month        TEXT     NOT NULL CHECK (length(month) = 7),
    act          TEXT     NOT NULL CHECK (act IN ('closed', 'reopened')),
    at           DATETIME NOT NULL,
    person       TEXT     NOT NULL,
    reason       TEXT     NOT NULL,
    figures_hash TEXT     NOT NULL, -- it was closed with
    CHECK (act = 'closed' OR reason <> '')
);
CREATE INDEX closings_month ON closings (month);
-- +goose StatementBegin
CREATE TRIGGER closings_no_update BEFORE UPDATE ON closings
BEGIN SELECT RAISE(ABORT, 'append only: a closing is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER closings_no_delete BEFORE DELETE ON closings
BEGIN SELECT RAISE(ABORT, 'append only: a closing is never deleted; reopen the month'); END;
-- +goose StatementEnd

-- A closed month is closed with all before it: a movement of an earlier month would change what it opened with.
DROP TRIGGER movements_open_month;
-- +goose StatementBegin
CREATE TRIGGER movements_open_month BEFORE INSERT ON movements
WHEN EXISTS (SELECT 1 FROM periods WHERE month >= substr(NEW.effective_on, 1, 7))
BEGIN SELECT RAISE(ABORT, 'closed month: the movement belongs to a month that is closed'); END;
-- +goose StatementEnd
CREATE INDEX movements_effective ON movements (effective_on, effective_at, id);

-- By which method the books value the wires of an alloy family, from a month on.
CREATE TABLE cost_methods (
    family     TEXT     NOT NULL,
    from_month TEXT     NOT NULL CHECK (length(from_month) = 7),
    method     TEXT     NOT NULL CHECK (method IN ('specific', 'fifo', 'moving average')),
    reason     TEXT     NOT NULL,
    set_at     DATETIME NOT NULL,
    set_by     TEXT     NOT NULL,
    PRIMARY KEY (family, from_month)
);

-- What a supplier asks for a purchase, as its invoice says.
CREATE TABLE purchase_invoices (
    purchase    TEXT     NOT NULL REFERENCES purchases (code),
    number      TEXT     NOT NULL CHECK (number <> ''), -- the supplier's
    invoiced_on TEXT     NOT NULL CHECK (length(invoiced_on) = 10),
    amount      INTEGER  NOT NULL, -- below zero for a credit note
    posted_at   DATETIME NOT NULL,
    person      TEXT     NOT NULL,
    PRIMARY KEY (purchase, number)
);
CREATE INDEX results_wound_on ON results (wound_on);
