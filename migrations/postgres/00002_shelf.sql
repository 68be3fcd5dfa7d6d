-- The shelf: the shop's scale, spool types with their tares, deliveries, quarantine, weighings and who bears their differences.

-- +goose Up
ALTER TABLE practice ADD COLUMN scale_resolution BIGINT           NOT NULL DEFAULT 100;
ALTER TABLE practice ADD COLUMN loss_of_drawn    DOUBLE PRECISION NOT NULL DEFAULT 0.05;
ALTER TABLE practice ADD COLUMN loss_of_received DOUBLE PRECISION NOT NULL DEFAULT 0.02;

CREATE TABLE spool_types (
    code CODE PRIMARY KEY
);
CREATE UNIQUE INDEX spool_types_code ON spool_types (lower(code));

-- Every empty spool that was weighed: what a type's tare is learned from.
CREATE TABLE empty_spools (
    spool_type CODE        NOT NULL REFERENCES spool_types (code),
    number     BIGINT      NOT NULL CHECK (number > 0),
    mass       BIGINT      NOT NULL CHECK (mass > 0),
    weighed_at TIMESTAMPTZ NOT NULL,
    person     TEXT        NOT NULL,
    key        CODE, -- idempotency key
    PRIMARY KEY (spool_type, number)
);
CREATE UNIQUE INDEX empty_spools_key ON empty_spools (key) WHERE key IS NOT NULL;

-- Spools that came in together. Their costs sum to cost and freight.
CREATE TABLE deliveries (
    code      CODE        PRIMARY KEY,
    cost      BIGINT      NOT NULL CHECK (cost >= 0),
    freight   BIGINT      NOT NULL CHECK (freight >= 0),
    posted_at TIMESTAMPTZ NOT NULL,
    person    TEXT        NOT NULL
);
CREATE UNIQUE INDEX deliveries_code ON deliveries (lower(code));

ALTER TABLE spools ADD COLUMN spool_type CODE REFERENCES spool_types (code); -- whose learned tare stands for its own
ALTER TABLE spools ADD COLUMN delivery CODE REFERENCES deliveries (code);
ALTER TABLE spools ADD COLUMN state TEXT NOT NULL DEFAULT 'available' CHECK (state IN ('available', 'quarantined'));
CREATE INDEX spools_delivery ON spools (delivery) WHERE delivery IS NOT NULL;

-- What the scale said when a weigh-back or count was posted. book and uncertainty are those of that moment.
CREATE TABLE weighings (
    movement    BIGINT  PRIMARY KEY REFERENCES movements (id),
    gross       BIGINT  NOT NULL CHECK (gross >= 0),
    tare        BIGINT  NOT NULL CHECK (tare >= 0),
    book        BIGINT  NOT NULL,
    net         BIGINT  NOT NULL CHECK (net >= 0),
    uncertainty BIGINT  NOT NULL CHECK (uncertainty >= 0), -- of the difference, k = 2
    noise       BOOLEAN NOT NULL,
    surprise    TEXT    NOT NULL,                          -- what was confirmed; empty for none
    note        TEXT    NOT NULL
);

CREATE TABLE weighing_shares (
    movement BIGINT NOT NULL REFERENCES weighings (movement),
    number   BIGINT NOT NULL CHECK (number > 0),
    batch    CODE   REFERENCES batches (code), -- NULL: nobody's
    mass     BIGINT NOT NULL CHECK (mass <> 0),
    PRIMARY KEY (movement, number)
);
CREATE INDEX weighing_shares_batch ON weighing_shares (batch) WHERE batch IS NOT NULL;

CREATE TRIGGER weighings_no_change BEFORE UPDATE OR DELETE ON weighings FOR EACH ROW
    EXECUTE FUNCTION refuse_change('a weighing is never changed or deleted; weigh again');
CREATE TRIGGER weighings_no_truncate BEFORE TRUNCATE ON weighings FOR EACH STATEMENT
    EXECUTE FUNCTION refuse_change('a weighing is never changed or deleted; weigh again');
CREATE TRIGGER weighing_shares_no_change BEFORE UPDATE OR DELETE ON weighing_shares FOR EACH ROW
    EXECUTE FUNCTION refuse_change('a share is never changed or deleted; weigh again');
CREATE TRIGGER weighing_shares_no_truncate BEFORE TRUNCATE ON weighing_shares FOR EACH STATEMENT
    EXECUTE FUNCTION refuse_change('a share is never changed or deleted; weigh again');
