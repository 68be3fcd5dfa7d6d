-- The shop promises orders for a day, and weighs finished strings of its recipes.

-- +goose Up
ALTER TABLE orders ADD COLUMN promised_on TEXT CHECK (length(promised_on) = 10);

-- What finished strings of a recipe weighed or measured. Nothing is changed: a mistake is taken back by a row that names it.
CREATE TABLE calibrations (
    number      INTEGER  PRIMARY KEY, -- in the order they happened, 1 upwards
    recipe      TEXT     NOT NULL REFERENCES recipes (code),
    scale       INTEGER  NOT NULL CHECK (scale >= 0),     -- length, nm
    strings     INTEGER  NOT NULL CHECK (strings >= 0),   -- weighed together
    mass        INTEGER  NOT NULL CHECK (mass >= 0),      -- mg, of all of them
    cores       INTEGER  NOT NULL CHECK (cores >= 0),     -- mg, of as many bare cores; 0: as computed
    ends        INTEGER  NOT NULL CHECK (ends >= 0),      -- mg, of as many ball ends
    resolution  INTEGER  NOT NULL CHECK (resolution > 0), -- mg, of the scale
    computed    REAL     NOT NULL,                        -- mg, of the strings without ends
    gauges      INTEGER  NOT NULL CHECK (gauges >= 0),    -- strings measured
    gauge       REAL     NOT NULL,                        -- nm, their mean
    gauge_sd    REAL     NOT NULL,                        -- nm, of one of them
    gauge_step  INTEGER  NOT NULL CHECK (gauge_step >= 0),-- nm, of the micrometer
    vouched     INTEGER  NOT NULL CHECK (vouched IN (0, 1)), -- the owner's word for what would be questioned
    reverses    INTEGER  UNIQUE REFERENCES calibrations (number),
    note        TEXT     NOT NULL,
    at          DATETIME NOT NULL,
    person      TEXT     NOT NULL,
    key         TEXT     UNIQUE -- idempotency key
);
CREATE INDEX calibrations_recipe ON calibrations (recipe);
-- +goose StatementBegin
CREATE TRIGGER calibrations_no_update BEFORE UPDATE ON calibrations
BEGIN SELECT RAISE(ABORT, 'append only: a calibration is never changed; take it back'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER calibrations_no_delete BEFORE DELETE ON calibrations
BEGIN SELECT RAISE(ABORT, 'append only: a calibration is never deleted; take it back'); END;
-- +goose StatementEnd
