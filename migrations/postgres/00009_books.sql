-- The books: months closed and reopened with the figures they were closed with, the books' method of each alloy family, suppliers'
-- invoices of purchases.

-- +goose Up
-- The figures a month was closed with, as JSON; figures_hash is over them and over the month's movements.
ALTER TABLE periods ADD COLUMN figures TEXT NOT NULL DEFAULT '';

-- Every closing and reopening, for ever.
CREATE TABLE closings (
    number       BIGINT      PRIMARY KEY, -- in the order they happened, 1 upwards
    month        CODE        NOT NULL CHECK (length(month) = 7),
    act          TEXT        NOT NULL CHECK (act IN ('closed', 'reopened')),
    at           TIMESTAMPTZ NOT NULL,
    person       TEXT        NOT NULL,
    reason       TEXT        NOT NULL,
    figures_hash TEXT        NOT NULL, -- it was closed with
    CHECK (act = 'closed' OR reason <> '')
);
CREATE INDEX closings_month ON closings (month);
CREATE TRIGGER closings_no_change BEFORE UPDATE OR DELETE ON closings FOR EACH ROW
    EXECUTE FUNCTION refuse_change('a closing is never changed or deleted; reopen the month');
CREATE TRIGGER closings_no_truncate BEFORE TRUNCATE ON closings FOR EACH STATEMENT
    EXECUTE FUNCTION refuse_change('a closing is never changed or deleted; reopen the month');

-- A closed month is closed with all before it: a movement of an earlier month would change what it opened with.
-- +goose StatementBegin
CREATE OR REPLACE FUNCTION refuse_closed_month() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF EXISTS (SELECT 1 FROM periods WHERE month >= substr(NEW.effective_on, 1, 7)) THEN
        RAISE EXCEPTION 'closed month: the movement belongs to a month that is closed' USING ERRCODE = 'WR002';
    END IF;
    RETURN NEW;
END $$;
-- +goose StatementEnd
CREATE INDEX movements_effective ON movements (effective_on, effective_at, id);

-- By which method the books value the wires of an alloy family, from a month on.
CREATE TABLE cost_methods (
    family     CODE        NOT NULL,
    from_month CODE        NOT NULL CHECK (length(from_month) = 7),
    method     TEXT        NOT NULL CHECK (method IN ('specific', 'fifo', 'moving average')),
    reason     TEXT        NOT NULL,
    set_at     TIMESTAMPTZ NOT NULL,
    set_by     TEXT        NOT NULL,
    PRIMARY KEY (family, from_month)
);

-- What a supplier asks for a purchase, as its invoice says.
CREATE TABLE purchase_invoices (
    purchase    CODE        NOT NULL REFERENCES purchases (code),
    number      CODE        NOT NULL CHECK (number <> ''), -- the supplier's
    invoiced_on CODE        NOT NULL CHECK (length(invoiced_on) = 10),
    amount      BIGINT      NOT NULL, -- below zero for a credit note
    posted_at   TIMESTAMPTZ NOT NULL,
    person      TEXT        NOT NULL,
    PRIMARY KEY (purchase, number)
);
CREATE INDEX results_wound_on ON results (wound_on);
