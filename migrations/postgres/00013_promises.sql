-- The shop promises orders for a day, and weighs finished strings of its recipes.

-- +goose Up
ALTER TABLE orders ADD COLUMN promised_on CODE CHECK (length(promised_on) = 10);

-- What finished strings of a recipe weighed or measured. Nothing is changed: a mistake is taken back by a row that names it.
CREATE TABLE calibrations (
    number      BIGINT   PRIMARY KEY, -- in the order they happened, 1 upwards
    recipe      CODE     NOT NULL REFERENCES recipes (code),
    scale       BIGINT   NOT NULL CHECK (scale >= 0),     -- length, nm
    strings     BIGINT   NOT NULL CHECK (strings >= 0),   -- weighed together
    mass        BIGINT   NOT NULL CHECK (mass >= 0),      -- mg, of all of them
    cores       BIGINT   NOT NULL CHECK (cores >= 0),     -- mg, of as many bare cores; 0: as computed
    ends        BIGINT   NOT NULL CHECK (ends >= 0),      -- mg, of as many ball ends
    resolution  BIGINT   NOT NULL CHECK (resolution > 0), -- mg, of the scale
    computed    DOUBLE PRECISION NOT NULL,                        -- mg, of the strings without ends
    gauges      BIGINT   NOT NULL CHECK (gauges >= 0),    -- strings measured
    gauge       DOUBLE PRECISION NOT NULL,                        -- nm, their mean
    gauge_sd    DOUBLE PRECISION NOT NULL,                        -- nm, of one of them
    gauge_step  BIGINT   NOT NULL CHECK (gauge_step >= 0),-- nm, of the micrometer
    vouched     BOOLEAN     NOT NULL, -- the owner's word for what would be questioned
    reverses    BIGINT   UNIQUE REFERENCES calibrations (number),
    note        TEXT     NOT NULL,
    at          TIMESTAMPTZ NOT NULL,
    person      TEXT     NOT NULL,
    key         TEXT     UNIQUE -- idempotency key
);
CREATE INDEX calibrations_recipe ON calibrations (recipe);
CREATE TRIGGER calibrations_no_change BEFORE UPDATE OR DELETE ON calibrations FOR EACH ROW
    EXECUTE FUNCTION refuse_change('a calibration is never changed or deleted; take it back');
CREATE TRIGGER calibrations_no_truncate BEFORE TRUNCATE ON calibrations FOR EACH STATEMENT
    EXECUTE FUNCTION refuse_change('a calibration is never changed or deleted; take it back');
