-- Buying: purchases and what came of them, nightly checks, answers to their alerts, runs of jobs.

-- +goose Up
-- The shop's own minimum of a wire, and the supplier's prices for whole lines from a mass on.
CREATE TABLE wire_minimums (
    wire CODE    PRIMARY KEY REFERENCES wires (code),
    mass BIGINT  NOT NULL CHECK (mass > 0)
);

CREATE TABLE price_breaks (
    wire         CODE    NOT NULL REFERENCES wires (code),
    from_mass    BIGINT  NOT NULL CHECK (from_mass > 0),
    price_per_kg BIGINT  NOT NULL CHECK (price_per_kg >= 0),
    PRIMARY KEY (wire, from_mass)
);

CREATE TABLE purchases (
    code        CODE        PRIMARY KEY,
    supplier    CODE        NOT NULL REFERENCES suppliers (code),
    status      TEXT        NOT NULL CHECK (status IN ('proposed', 'sent', 'part received', 'closed', 'cancelled')),
    night       CODE        CHECK (length(night) = 10),      -- that proposed it; NULL: a person's own
    ordered_on  CODE        CHECK (length(ordered_on) = 10), -- the day it was sent
    promised_on CODE        CHECK (length(promised_on) = 10),
    freight     BIGINT      NOT NULL CHECK (freight >= 0),   -- expected
    note        TEXT        NOT NULL,
    made_at     TIMESTAMPTZ NOT NULL,
    made_by     TEXT        NOT NULL,
    version     BIGINT      NOT NULL CHECK (version > 0),    -- counts changes: who changes it names the one that was seen
    CHECK (status IN ('proposed', 'cancelled') OR ordered_on IS NOT NULL)
);
CREATE UNIQUE INDEX purchases_code ON purchases (lower(code));
CREATE INDEX purchases_open ON purchases (code) WHERE status IN ('proposed', 'sent', 'part received');

CREATE TABLE purchase_lines (
    purchase     CODE    NOT NULL REFERENCES purchases (code),
    wire         CODE    NOT NULL REFERENCES wires (code),
    packs        BIGINT  NOT NULL CHECK (packs > 0),
    mass         BIGINT  NOT NULL CHECK (mass > 0),
    price_per_kg BIGINT  NOT NULL CHECK (price_per_kg >= 0),
    PRIMARY KEY (purchase, wire)
);
CREATE INDEX purchase_lines_wire ON purchase_lines (wire);

-- A spool that came for a purchase. cost is that of its wire without freight, expected what the ordered price makes of its mass.
CREATE TABLE purchase_receipts (
    spool       CODE     PRIMARY KEY REFERENCES spools (code),
    purchase    CODE     NOT NULL,
    wire        CODE     NOT NULL,
    received_on CODE     NOT NULL CHECK (length(received_on) = 10),
    mass        BIGINT   NOT NULL CHECK (mass > 0),
    cost        BIGINT   NOT NULL CHECK (cost >= 0),
    expected    BIGINT   NOT NULL CHECK (expected >= 0),
    FOREIGN KEY (purchase, wire) REFERENCES purchase_lines (purchase, wire)
);
CREATE INDEX purchase_receipts_purchase ON purchase_receipts (purchase);

-- What a nightly check found, as JSON. balances are the projected ones of its wires, kept of the last nights only.
CREATE TABLE nights (
    date     CODE        PRIMARY KEY CHECK (length(date) = 10),
    ran_at   TIMESTAMPTZ NOT NULL,
    ran_by   TEXT        NOT NULL,
    result   TEXT        NOT NULL,
    balances TEXT        NOT NULL
);

-- What a person answered to a wire's alert: seen, or let it rest until a day.
CREATE TABLE alert_answers (
    id        BIGINT      GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    wire      CODE        NOT NULL REFERENCES wires (code),
    level     TEXT        NOT NULL CHECK (level IN ('none', 'watch', 'order', 'late')), -- it stood at
    person    TEXT        NOT NULL,
    at        TIMESTAMPTZ NOT NULL,
    reason    TEXT        NOT NULL,
    until_on  CODE        CHECK (length(until_on) = 10), -- NULL: seen, without a day
    lapsed_on CODE        CHECK (length(lapsed_on) = 10) -- the night from which it no longer held
);
CREATE INDEX alert_answers_wire ON alert_answers (wire);

-- Each run of a job, for a day once. One that failed, or whose program ended on the way, may be tried again.
CREATE TABLE job_runs (
    job        CODE        NOT NULL,
    day        CODE        NOT NULL CHECK (length(day) = 10),
    attempt    BIGINT      NOT NULL CHECK (attempt > 0),
    started_at TIMESTAMPTZ NOT NULL,
    ended_at   TIMESTAMPTZ,
    outcome    TEXT        NOT NULL CHECK (outcome IN ('running', 'done', 'failed')),
    found      TEXT        NOT NULL, -- what it found, or why it failed
    PRIMARY KEY (job, day)
);

-- What left the shop about a night: once a channel, whatever happens. A row is written before anything is sent.
CREATE TABLE sent_notices (
    night   CODE        NOT NULL CHECK (length(night) = 10),
    channel CODE        NOT NULL,
    at      TIMESTAMPTZ NOT NULL,
    outcome TEXT        NOT NULL CHECK (outcome IN ('sending', 'sent', 'failed')),
    detail  TEXT        NOT NULL,
    PRIMARY KEY (night, channel)
);

CREATE INDEX answers_at ON answers (at);
CREATE INDEX usage_used_on ON usage (used_on);
