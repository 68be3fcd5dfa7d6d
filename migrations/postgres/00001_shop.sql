-- The shop's facts and the ledger: the tables and columns of the SQLite schema.
-- Sizes are whole nanometres, masses whole milligrams, money whole minor units, durations whole nanoseconds.
-- Days are text, YYYY-MM-DD, as in SQLite.

-- +goose Up
-- Codes and days sort byte by byte, as they do in SQLite and in Go.
CREATE DOMAIN code AS TEXT COLLATE "C";

CREATE TABLE practice (
    id                    BIGINT           PRIMARY KEY CHECK (id = 1),
    ball_end              BIGINT           NOT NULL,
    tail                  BIGINT           NOT NULL,
    head                  BIGINT           NOT NULL,
    chuck_waste           BIGINT           NOT NULL,
    wrap_beyond_nut       BIGINT           NOT NULL,
    waste_turns           DOUBLE PRECISION NOT NULL,
    change_core           BIGINT           NOT NULL,
    change_wrap           BIGINT           NOT NULL,
    change_length         BIGINT           NOT NULL,
    change_spool          BIGINT           NOT NULL,
    completion_confidence DOUBLE PRECISION NOT NULL,
    currency              TEXT             NOT NULL
);

CREATE TABLE alloys (
    code          CODE             PRIMARY KEY,
    name          TEXT             NOT NULL,
    density       DOUBLE PRECISION NOT NULL CHECK (density > 0),
    ferromagnetic TEXT             NOT NULL,
    core          BOOLEAN          NOT NULL,
    wrap          BOOLEAN          NOT NULL,
    strength      TEXT             NOT NULL,
    source        TEXT             NOT NULL
);
CREATE UNIQUE INDEX alloys_code ON alloys (lower(code));

CREATE TABLE suppliers (
    code          CODE             PRIMARY KEY,
    name          TEXT             NOT NULL,
    lead_days     DOUBLE PRECISION NOT NULL CHECK (lead_days >= 0),
    lead_days_sd  DOUBLE PRECISION NOT NULL CHECK (lead_days_sd >= 0),
    order_minimum BIGINT           NOT NULL CHECK (order_minimum >= 0),
    order_cost    BIGINT           NOT NULL CHECK (order_cost >= 0)
);
CREATE UNIQUE INDEX suppliers_code ON suppliers (lower(code));

-- The alloy of a wire may be a built-in one, which is not stored: no foreign key.
CREATE TABLE wires (
    code         CODE   PRIMARY KEY,
    alloy        CODE   NOT NULL,
    section      TEXT   NOT NULL CHECK (section IN ('round', 'hex', 'flat')),
    size         BIGINT NOT NULL CHECK (size > 0),
    thickness    BIGINT NOT NULL CHECK (thickness >= 0),
    across       TEXT   NOT NULL CHECK (across IN ('', 'flats', 'corners')),
    usable_end   BIGINT NOT NULL CHECK (usable_end >= 0),
    supplier     CODE   REFERENCES suppliers (code),
    pack         BIGINT NOT NULL CHECK (pack >= 0),
    price_per_kg BIGINT NOT NULL CHECK (price_per_kg >= 0)
);
CREATE UNIQUE INDEX wires_code ON wires (lower(code));

CREATE TABLE recipes (
    code         CODE             PRIMARY KEY,
    gauge        BIGINT           NOT NULL CHECK (gauge > 0),
    core         CODE             NOT NULL REFERENCES wires (code),
    ball_end     BOOLEAN          NOT NULL,
    yield        DOUBLE PRECISION NOT NULL CHECK (yield > 0 AND yield <= 1),
    minutes_each BIGINT           NOT NULL CHECK (minutes_each >= 0)
);
CREATE UNIQUE INDEX recipes_code ON recipes (lower(code));

CREATE TABLE recipe_wraps (
    recipe CODE   NOT NULL REFERENCES recipes (code),
    layer  BIGINT NOT NULL CHECK (layer BETWEEN 1 AND 3), -- innermost first
    wire   CODE   NOT NULL REFERENCES wires (code),
    lay    BIGINT NOT NULL CHECK (lay >= 0),              -- 0: touching turns
    PRIMARY KEY (recipe, layer)
);

CREATE TABLE sets (
    code CODE PRIMARY KEY
);
CREATE UNIQUE INDEX sets_code ON sets (lower(code));

CREATE TABLE set_positions (
    set_code CODE   NOT NULL REFERENCES sets (code),
    number   BIGINT NOT NULL CHECK (number > 0),
    recipe   CODE   NOT NULL REFERENCES recipes (code),
    scale    BIGINT NOT NULL CHECK (scale > 0),
    pitch    TEXT   NOT NULL,
    PRIMARY KEY (set_code, number)
);

CREATE TABLE machines (
    code    CODE   PRIMARY KEY,
    winds   TEXT   NOT NULL CHECK (winds IN ('plain', 'wound', 'both')),
    longest BIGINT NOT NULL CHECK (longest > 0),
    per_day BIGINT NOT NULL CHECK (per_day >= 0)
);
CREATE UNIQUE INDEX machines_code ON machines (lower(code));

CREATE TABLE orders (
    code       CODE PRIMARY KEY,
    ordered_on CODE NOT NULL CHECK (length(ordered_on) = 10),
    due_on     CODE NOT NULL CHECK (length(due_on) = 10),
    customer   TEXT NOT NULL,
    status     TEXT NOT NULL
               CHECK (status IN ('draft', 'confirmed', 'planned', 'wound', 'packed', 'shipped', 'cancelled'))
);
CREATE UNIQUE INDEX orders_code ON orders (lower(code));
CREATE INDEX orders_open ON orders (code) WHERE status IN ('confirmed', 'planned');

CREATE TABLE order_lines (
    order_code CODE   NOT NULL REFERENCES orders (code),
    number     BIGINT NOT NULL CHECK (number > 0),
    set_code   CODE   REFERENCES sets (code), -- NULL: a custom set
    quantity   BIGINT NOT NULL CHECK (quantity > 0),
    PRIMARY KEY (order_code, number)
);

CREATE TABLE order_strings (
    order_code CODE   NOT NULL,
    line       BIGINT NOT NULL,
    position   BIGINT NOT NULL CHECK (position > 0),
    recipe     CODE   NOT NULL REFERENCES recipes (code),
    scale      BIGINT NOT NULL CHECK (scale > 0),
    pitch      TEXT   NOT NULL,
    PRIMARY KEY (order_code, line, position),
    FOREIGN KEY (order_code, line) REFERENCES order_lines (order_code, number)
);

-- mass and value are the sums of the spool's movements, kept; allocated is what released batches will draw.
CREATE TABLE spools (
    code        CODE   PRIMARY KEY,
    wire        CODE   NOT NULL REFERENCES wires (code),
    lot         TEXT   NOT NULL,
    received_on CODE   NOT NULL CHECK (length(received_on) = 10),
    gross       BIGINT NOT NULL,
    tare        BIGINT NOT NULL CHECK (tare >= 0),
    cost        BIGINT NOT NULL CHECK (cost >= 0),
    location    TEXT   NOT NULL,
    mass        BIGINT NOT NULL,
    value       BIGINT NOT NULL,
    allocated   BIGINT NOT NULL,
    CHECK (gross > tare),
    CHECK (mass BETWEEN 0 AND gross - tare),
    CHECK (allocated BETWEEN 0 AND mass),
    CHECK (value BETWEEN 0 AND cost AND (mass > 0 OR value = 0))
);
CREATE UNIQUE INDEX spools_code ON spools (lower(code));

-- A month that is closed accepts no movement any more.
CREATE TABLE periods (
    month        CODE        PRIMARY KEY CHECK (length(month) = 7), -- YYYY-MM
    closed_at    TIMESTAMPTZ NOT NULL,
    closed_by    TEXT        NOT NULL,
    figures_hash TEXT        NOT NULL
);

CREATE TABLE movements (
    id           BIGINT      PRIMARY KEY, -- in the order they were posted
    spool        CODE        NOT NULL REFERENCES spools (code),
    kind         TEXT        NOT NULL
                 CHECK (kind IN ('receipt', 'draw', 'scrap', 'weigh-back difference', 'count difference',
                                 'return to supplier', 'write-off', 'reversal')),
    mass         BIGINT      NOT NULL,
    cost         BIGINT      NOT NULL,
    effective_on CODE        NOT NULL CHECK (length(effective_on) = 10),
    effective_at TIMESTAMPTZ NOT NULL,
    posted_at    TIMESTAMPTZ NOT NULL,
    person       TEXT        NOT NULL,
    reason       TEXT        NOT NULL,
    source       TEXT        NOT NULL,
    key          CODE        ,                              -- idempotency key
    reverses     BIGINT      REFERENCES movements (id),
    CHECK ((kind = 'reversal') = (reverses IS NOT NULL)),
    CHECK (kind <> 'receipt' OR mass >= 0),
    CHECK (kind NOT IN ('draw', 'scrap', 'return to supplier', 'write-off') OR mass <= 0)
);
CREATE INDEX movements_spool ON movements (spool);
CREATE UNIQUE INDEX movements_key ON movements (key) WHERE key IS NOT NULL;
CREATE UNIQUE INDEX movements_reverses ON movements (reverses) WHERE reverses IS NOT NULL;

CREATE SEQUENCE movement_ids OWNED BY movements.id;

-- +goose StatementBegin
CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'append only: %', TG_ARGV[0] USING ERRCODE = 'WR001';
END $$;
-- +goose StatementEnd
CREATE TRIGGER movements_no_change BEFORE UPDATE OR DELETE ON movements FOR EACH ROW
    EXECUTE FUNCTION refuse_change('a movement is never changed or deleted; post a reversal');
CREATE TRIGGER movements_no_truncate BEFORE TRUNCATE ON movements FOR EACH STATEMENT
    EXECUTE FUNCTION refuse_change('a movement is never changed or deleted; post a reversal');

-- +goose StatementBegin
CREATE FUNCTION refuse_closed_month() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF EXISTS (SELECT 1 FROM periods WHERE month = substr(NEW.effective_on, 1, 7)) THEN
        RAISE EXCEPTION 'closed month: the movement belongs to a month that is closed' USING ERRCODE = 'WR002';
    END IF;
    RETURN NEW;
END $$;
-- +goose StatementEnd
CREATE TRIGGER movements_open_month BEFORE INSERT ON movements FOR EACH ROW EXECUTE FUNCTION refuse_closed_month();

CREATE TABLE plans (
    date        CODE        PRIMARY KEY CHECK (length(date) = 10),
    proposed_at TIMESTAMPTZ NOT NULL,
    released    BOOLEAN     NOT NULL,
    released_by TEXT        NOT NULL,
    released_at TIMESTAMPTZ ,
    setup       BIGINT      NOT NULL,
    setup_bound BIGINT      NOT NULL
);

CREATE TABLE batches (
    code     CODE   PRIMARY KEY,
    date     CODE   NOT NULL REFERENCES plans (date),
    machine  CODE   NOT NULL REFERENCES machines (code),
    sequence BIGINT NOT NULL CHECK (sequence > 0),
    status   TEXT   NOT NULL CHECK (status IN ('proposed', 'released', 'finished')),
    recipe   CODE   NOT NULL REFERENCES recipes (code),
    scale    BIGINT NOT NULL CHECK (scale > 0),
    ordered  BIGINT NOT NULL CHECK (ordered >= 0),
    to_wind  BIGINT NOT NULL CHECK (to_wind >= ordered),
    setup    BIGINT NOT NULL,
    run      BIGINT NOT NULL,
    starts   BIGINT NOT NULL,
    ends     BIGINT NOT NULL,
    UNIQUE (date, machine, sequence)
);
CREATE UNIQUE INDEX batches_code ON batches (lower(code));

CREATE TABLE batch_draws (
    batch   CODE   NOT NULL REFERENCES batches (code),
    number  BIGINT NOT NULL, -- in the order of use, 1 upwards
    spool   CODE   NOT NULL REFERENCES spools (code),
    wire    CODE   NOT NULL REFERENCES wires (code),
    strings BIGINT NOT NULL CHECK (strings > 0),
    mass    BIGINT NOT NULL CHECK (mass >= 0),
    PRIMARY KEY (batch, number)
);

CREATE TABLE batch_serves (
    batch      CODE   NOT NULL REFERENCES batches (code),
    order_code CODE   NOT NULL,
    line       BIGINT NOT NULL,
    position   BIGINT NOT NULL,
    strings    BIGINT NOT NULL CHECK (strings > 0),
    PRIMARY KEY (batch, order_code, line, position),
    FOREIGN KEY (order_code, line, position) REFERENCES order_strings (order_code, line, position)
);
CREATE INDEX batch_serves_order ON batch_serves (order_code);

CREATE TABLE plan_unplanned (
    date       CODE   NOT NULL REFERENCES plans (date),
    number     BIGINT NOT NULL, -- a position may be left out for two reasons
    order_code CODE   NOT NULL,
    line       BIGINT NOT NULL,
    position   BIGINT NOT NULL,
    strings    BIGINT NOT NULL CHECK (strings > 0),
    why        TEXT   NOT NULL CHECK (why IN ('wire', 'time', 'machine')),
    detail     TEXT   NOT NULL,
    PRIMARY KEY (date, number),
    FOREIGN KEY (order_code, line, position) REFERENCES order_strings (order_code, line, position)
);

CREATE TABLE plan_late (
    date       CODE   NOT NULL REFERENCES plans (date),
    number     BIGINT NOT NULL,
    order_code CODE   NOT NULL REFERENCES orders (code),
    PRIMARY KEY (date, number)
);

-- What each machine of a plan has on it when the day is done; NULL is an empty or unknown place, scale 0 unknown.
CREATE TABLE machine_loads (
    date         CODE   NOT NULL REFERENCES plans (date),
    machine      CODE   NOT NULL REFERENCES machines (code),
    core_wire    CODE   REFERENCES wires (code),
    core_spool   CODE   REFERENCES spools (code),
    wrap_1_wire  CODE   REFERENCES wires (code),
    wrap_1_spool CODE   REFERENCES spools (code),
    wrap_2_wire  CODE   REFERENCES wires (code),
    wrap_2_spool CODE   REFERENCES spools (code),
    wrap_3_wire  CODE   REFERENCES wires (code),
    wrap_3_spool CODE   REFERENCES spools (code),
    scale        BIGINT NOT NULL,
    PRIMARY KEY (date, machine)
);

-- Earlier consumption, for forecasting. The key also keeps the same row from being imported twice.
CREATE TABLE usage (
    wire       CODE   NOT NULL REFERENCES wires (code),
    used_on    CODE   NOT NULL CHECK (length(used_on) = 10),
    mass       BIGINT NOT NULL CHECK (mass >= 0),
    order_code CODE   NOT NULL, -- as noted, an order the shop need not know
    nth        BIGINT NOT NULL,
    PRIMARY KEY (wire, used_on, mass, order_code, nth)
);

CREATE TABLE audit (
    id      BIGINT      GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    at      TIMESTAMPTZ NOT NULL,
    person  TEXT        NOT NULL,
    action  TEXT        NOT NULL,
    subject TEXT        NOT NULL,
    detail  TEXT        NOT NULL
);

CREATE TRIGGER audit_no_change BEFORE UPDATE OR DELETE ON audit FOR EACH ROW
    EXECUTE FUNCTION refuse_change('an audit entry is never changed or deleted');
CREATE TRIGGER audit_no_truncate BEFORE TRUNCATE ON audit FOR EACH STATEMENT
    EXECUTE FUNCTION refuse_change('an audit entry is never changed or deleted');

CREATE TABLE tokens (
    name       CODE        PRIMARY KEY,
    hash       BYTEA       NOT NULL UNIQUE,
    role       TEXT        NOT NULL CHECK (role IN ('owner', 'lead', 'winder', 'bookkeeper')),
    created_at TIMESTAMPTZ NOT NULL,
    revoked_at TIMESTAMPTZ
);
CREATE UNIQUE INDEX tokens_name ON tokens (lower(name));

CREATE TABLE answers (
    key          CODE        PRIMARY KEY,
    request_hash BYTEA       NOT NULL,
    status       BIGINT      NOT NULL,
    body         BYTEA       NOT NULL,
    at           TIMESTAMPTZ NOT NULL
);
