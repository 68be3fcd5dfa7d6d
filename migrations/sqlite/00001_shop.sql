-- The shop's facts and the ledger.
-- Sizes are whole nanometres, masses whole milligrams, money whole minor units, durations whole nanoseconds.
-- Days are text, YYYY-MM-DD. Instants are UTC in DATETIME columns: the driver gives a time.Time for no other type, and a
-- STRICT table has no such type. So a table is STRICT unless it keeps an instant.

-- +goose Up
CREATE TABLE practice (
    id                    INTEGER PRIMARY KEY CHECK (id = 1),
    ball_end              INTEGER NOT NULL,
    tail                  INTEGER NOT NULL,
    head                  INTEGER NOT NULL,
    chuck_waste           INTEGER NOT NULL,
    wrap_beyond_nut       INTEGER NOT NULL,
    waste_turns           REAL    NOT NULL,
    change_core           INTEGER NOT NULL,
    change_wrap           INTEGER NOT NULL,
    change_length         INTEGER NOT NULL,
    change_spool          INTEGER NOT NULL,
    completion_confidence REAL    NOT NULL,
    currency              TEXT    NOT NULL
) STRICT;

CREATE TABLE alloys (
    code          TEXT    PRIMARY KEY,
    name          TEXT    NOT NULL,
    density       REAL    NOT NULL CHECK (density > 0),
    ferromagnetic TEXT    NOT NULL,
    core          INTEGER NOT NULL CHECK (core IN (0, 1)),
    wrap          INTEGER NOT NULL CHECK (wrap IN (0, 1)),
    strength      TEXT    NOT NULL,
    source        TEXT    NOT NULL
) STRICT;
CREATE UNIQUE INDEX alloys_code ON alloys (lower(code));

CREATE TABLE suppliers (
    code          TEXT    PRIMARY KEY,
    name          TEXT    NOT NULL,
    lead_days     REAL    NOT NULL CHECK (lead_days >= 0),
    lead_days_sd  REAL    NOT NULL CHECK (lead_days_sd >= 0),
    order_minimum INTEGER NOT NULL CHECK (order_minimum >= 0),
    order_cost    INTEGER NOT NULL CHECK (order_cost >= 0)
) STRICT;
CREATE UNIQUE INDEX suppliers_code ON suppliers (lower(code));

-- The alloy of a wire may be a built-in one, which is not stored: no foreign key.
CREATE TABLE wires (
    code         TEXT    PRIMARY KEY,
    alloy        TEXT    NOT NULL,
    section      TEXT    NOT NULL CHECK (section IN ('round', 'hex', 'flat')),
    size         INTEGER NOT NULL CHECK (size > 0),
    thickness    INTEGER NOT NULL CHECK (thickness >= 0),
    across       TEXT    NOT NULL CHECK (across IN ('', 'flats', 'corners')),
    usable_end   INTEGER NOT NULL CHECK (usable_end >= 0),
    supplier     TEXT    REFERENCES suppliers (code),
    pack         INTEGER NOT NULL CHECK (pack >= 0),
    price_per_kg INTEGER NOT NULL CHECK (price_per_kg >= 0)
) STRICT;
CREATE UNIQUE INDEX wires_code ON wires (lower(code));

CREATE TABLE recipes (
    code         TEXT    PRIMARY KEY,
    gauge        INTEGER NOT NULL CHECK (gauge > 0),
    core         TEXT    NOT NULL REFERENCES wires (code),
    ball_end     INTEGER NOT NULL CHECK (ball_end IN (0, 1)),
    yield        REAL    NOT NULL CHECK (yield > 0 AND yield <= 1),
    minutes_each INTEGER NOT NULL CHECK (minutes_each >= 0)
) STRICT;
CREATE UNIQUE INDEX recipes_code ON recipes (lower(code));

CREATE TABLE recipe_wraps (
    recipe TEXT    NOT NULL REFERENCES recipes (code),
    layer  INTEGER NOT NULL CHECK (layer BETWEEN 1 AND 3), -- innermost first
    wire   TEXT    NOT NULL REFERENCES wires (code),
    lay    INTEGER NOT NULL CHECK (lay >= 0),              -- 0: touching turns
    PRIMARY KEY (recipe, layer)
) STRICT;

CREATE TABLE sets (
    code TEXT PRIMARY KEY
) STRICT;
CREATE UNIQUE INDEX sets_code ON sets (lower(code));

CREATE TABLE set_positions (
    set_code TEXT    NOT NULL REFERENCES sets (code),
    number   INTEGER NOT NULL CHECK (number > 0),
    recipe   TEXT    NOT NULL REFERENCES recipes (code),
    scale    INTEGER NOT NULL CHECK (scale > 0),
    pitch    TEXT    NOT NULL,
    PRIMARY KEY (set_code, number)
) STRICT;

CREATE TABLE machines (
    code    TEXT    PRIMARY KEY,
    winds   TEXT    NOT NULL CHECK (winds IN ('plain', 'wound', 'both')),
    longest INTEGER NOT NULL CHECK (longest > 0),
    per_day INTEGER NOT NULL CHECK (per_day >= 0)
) STRICT;
CREATE UNIQUE INDEX machines_code ON machines (lower(code));

CREATE TABLE orders (
    code       TEXT PRIMARY KEY,
    ordered_on TEXT NOT NULL CHECK (length(ordered_on) = 10),
    due_on     TEXT NOT NULL CHECK (length(due_on) = 10),
    customer   TEXT NOT NULL,
    status     TEXT NOT NULL
               CHECK (status IN ('draft', 'confirmed', 'planned', 'wound', 'packed', 'shipped', 'cancelled'))
) STRICT;
CREATE UNIQUE INDEX orders_code ON orders (lower(code));
CREATE INDEX orders_open ON orders (code) WHERE status IN ('confirmed', 'planned');

CREATE TABLE order_lines (
    order_code TEXT    NOT NULL REFERENCES orders (code),
    number     INTEGER NOT NULL CHECK (number > 0),
    set_code   TEXT    REFERENCES sets (code), -- NULL: a custom set
    quantity   INTEGER NOT NULL CHECK (quantity > 0),
    PRIMARY KEY (order_code, number)
) STRICT;

CREATE TABLE order_strings (
    order_code TEXT    NOT NULL,
    line       INTEGER NOT NULL,
    position   INTEGER NOT NULL CHECK (position > 0),
    recipe     TEXT    NOT NULL REFERENCES recipes (code),
    scale      INTEGER NOT NULL CHECK (scale > 0),
    pitch      TEXT    NOT NULL,
    PRIMARY KEY (order_code, line, position),
    FOREIGN KEY (order_code, line) REFERENCES order_lines (order_code, number)
) STRICT;

-- mass and value are the sums of the spool's movements, kept; allocated is what released batches will draw.
CREATE TABLE spools (
    code        TEXT    PRIMARY KEY,
    wire        TEXT    NOT NULL REFERENCES wires (code),
    lot         TEXT    NOT NULL,
    received_on TEXT    NOT NULL CHECK (length(received_on) = 10),
    gross       INTEGER NOT NULL,
    tare        INTEGER NOT NULL CHECK (tare >= 0),
    cost        INTEGER NOT NULL CHECK (cost >= 0),
    location    TEXT    NOT NULL,
    mass        INTEGER NOT NULL,
    value       INTEGER NOT NULL,
    allocated   INTEGER NOT NULL,
    CHECK (gross > tare),
    CHECK (mass BETWEEN 0 AND gross - tare),
    CHECK (allocated BETWEEN 0 AND mass),
    CHECK (value BETWEEN 0 AND cost AND (mass > 0 OR value = 0))
) STRICT;
CREATE UNIQUE INDEX spools_code ON spools (lower(code));

-- A month that is closed accepts no movement any more.
CREATE TABLE periods (
    month        TEXT     PRIMARY KEY CHECK (length(month) = 7), -- YYYY-MM
    closed_at    DATETIME NOT NULL,
    closed_by    TEXT     NOT NULL,
    figures_hash TEXT     NOT NULL
);

CREATE TABLE movements (
    id           INTEGER  PRIMARY KEY, -- in the order they were posted
    spool        TEXT     NOT NULL REFERENCES spools (code),
    kind         TEXT     NOT NULL
                 CHECK (kind IN ('receipt', 'draw', 'scrap', 'weigh-back difference', 'count difference',
                                 'return to supplier', 'write-off', 'reversal')),
    mass         INTEGER  NOT NULL CHECK (typeof(mass) = 'integer'),
    cost         INTEGER  NOT NULL CHECK (typeof(cost) = 'integer'),
    effective_on TEXT     NOT NULL CHECK (length(effective_on) = 10),
    effective_at DATETIME NOT NULL,
    posted_at    DATETIME NOT NULL,
    person       TEXT     NOT NULL,
    reason       TEXT     NOT NULL,
    source       TEXT     NOT NULL,
    key          TEXT,                              -- idempotency key
    reverses     INTEGER  REFERENCES movements (id),
    CHECK ((kind = 'reversal') = (reverses IS NOT NULL)),
    CHECK (kind <> 'receipt' OR mass >= 0),
    CHECK (kind NOT IN ('draw', 'scrap', 'return to supplier', 'write-off') OR mass <= 0)
);
CREATE INDEX movements_spool ON movements (spool);
CREATE UNIQUE INDEX movements_key ON movements (key) WHERE key IS NOT NULL;
CREATE UNIQUE INDEX movements_reverses ON movements (reverses) WHERE reverses IS NOT NULL;

-- +goose StatementBegin
CREATE TRIGGER movements_no_update BEFORE UPDATE ON movements
BEGIN SELECT RAISE(ABORT, 'append only: a movement is never changed; post a reversal'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER movements_no_delete BEFORE DELETE ON movements
BEGIN SELECT RAISE(ABORT, 'append only: a movement is never deleted; post a reversal'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER movements_open_month BEFORE INSERT ON movements
WHEN EXISTS (SELECT 1 FROM periods WHERE month = substr(NEW.effective_on, 1, 7))
BEGIN SELECT RAISE(ABORT, 'closed month: the movement belongs to a month that is closed'); END;
-- +goose StatementEnd

CREATE TABLE plans (
    date        TEXT     PRIMARY KEY CHECK (length(date) = 10),
    proposed_at DATETIME NOT NULL,
    released    INTEGER  NOT NULL CHECK (released IN (0, 1)),
    released_by TEXT     NOT NULL,
    released_at DATETIME,
    setup       INTEGER  NOT NULL,
    setup_bound INTEGER  NOT NULL
);

CREATE TABLE batches (
    code     TEXT    PRIMARY KEY,
    date     TEXT    NOT NULL REFERENCES plans (date),
    machine  TEXT    NOT NULL REFERENCES machines (code),
    sequence INTEGER NOT NULL CHECK (sequence > 0),
    status   TEXT    NOT NULL CHECK (status IN ('proposed', 'released', 'finished')),
    recipe   TEXT    NOT NULL REFERENCES recipes (code),
    scale    INTEGER NOT NULL CHECK (scale > 0),
    ordered  INTEGER NOT NULL CHECK (ordered >= 0),
    to_wind  INTEGER NOT NULL CHECK (to_wind >= ordered),
    setup    INTEGER NOT NULL,
    run      INTEGER NOT NULL,
    starts   INTEGER NOT NULL,
    ends     INTEGER NOT NULL,
    UNIQUE (date, machine, sequence)
) STRICT;
CREATE UNIQUE INDEX batches_code ON batches (lower(code));

CREATE TABLE batch_draws (
    batch   TEXT    NOT NULL REFERENCES batches (code),
    number  INTEGER NOT NULL, -- in the order of use, 1 upwards
    spool   TEXT    NOT NULL REFERENCES spools (code),
    wire    TEXT    NOT NULL REFERENCES wires (code),
    strings INTEGER NOT NULL CHECK (strings > 0),
    mass    INTEGER NOT NULL CHECK (mass >= 0),
    PRIMARY KEY (batch, number)
) STRICT;

CREATE TABLE batch_serves (
    batch      TEXT    NOT NULL REFERENCES batches (code),
    order_code TEXT    NOT NULL,
    line       INTEGER NOT NULL,
    position   INTEGER NOT NULL,
    strings    INTEGER NOT NULL CHECK (strings > 0),
    PRIMARY KEY (batch, order_code, line, position),
    FOREIGN KEY (order_code, line, position) REFERENCES order_strings (order_code, line, position)
) STRICT;
CREATE INDEX batch_serves_order ON batch_serves (order_code);

CREATE TABLE plan_unplanned (
    date       TEXT    NOT NULL REFERENCES plans (date),
    number     INTEGER NOT NULL, -- a position may be left out for two reasons
    order_code TEXT    NOT NULL,
    line       INTEGER NOT NULL,
    position   INTEGER NOT NULL,
    strings    INTEGER NOT NULL CHECK (strings > 0),
    why        TEXT    NOT NULL CHECK (why IN ('wire', 'time', 'machine')),
    detail     TEXT    NOT NULL,
    PRIMARY KEY (date, number),
    FOREIGN KEY (order_code, line, position) REFERENCES order_strings (order_code, line, position)
) STRICT;

CREATE TABLE plan_late (
    date       TEXT    NOT NULL REFERENCES plans (date),
    number     INTEGER NOT NULL,
    order_code TEXT    NOT NULL REFERENCES orders (code),
    PRIMARY KEY (date, number)
) STRICT;

-- What each machine of a plan has on it when the day is done; NULL is an empty or unknown place, scale 0 unknown.
CREATE TABLE machine_loads (
    date         TEXT    NOT NULL REFERENCES plans (date),
    machine      TEXT    NOT NULL REFERENCES machines (code),
    core_wire    TEXT    REFERENCES wires (code),
    core_spool   TEXT    REFERENCES spools (code),
    wrap_1_wire  TEXT    REFERENCES wires (code),
    wrap_1_spool TEXT    REFERENCES spools (code),
    wrap_2_wire  TEXT    REFERENCES wires (code),
    wrap_2_spool TEXT    REFERENCES spools (code),
    wrap_3_wire  TEXT    REFERENCES wires (code),
    wrap_3_spool TEXT    REFERENCES spools (code),
    scale        INTEGER NOT NULL,
    PRIMARY KEY (date, machine)
) STRICT;

-- Earlier consumption, for forecasting. The key also keeps the same row from being imported twice.
CREATE TABLE usage (
    wire       TEXT    NOT NULL REFERENCES wires (code),
    used_on    TEXT    NOT NULL CHECK (length(used_on) = 10),
    mass       INTEGER NOT NULL CHECK (mass >= 0),
    order_code TEXT    NOT NULL, -- as noted, an order the shop need not know
    nth        INTEGER NOT NULL,
    PRIMARY KEY (wire, used_on, mass, order_code, nth)
) STRICT, WITHOUT ROWID;

CREATE TABLE audit (
    id      INTEGER  PRIMARY KEY,
    at      DATETIME NOT NULL,
    person  TEXT     NOT NULL,
    action  TEXT     NOT NULL,
    subject TEXT     NOT NULL,
    detail  TEXT     NOT NULL
);
-- +goose StatementBegin
CREATE TRIGGER audit_no_update BEFORE UPDATE ON audit
BEGIN SELECT RAISE(ABORT, 'append only: an audit entry is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER audit_no_delete BEFORE DELETE ON audit
BEGIN SELECT RAISE(ABORT, 'append only: an audit entry is never deleted'); END;
-- +goose StatementEnd

CREATE TABLE tokens (
    name       TEXT     PRIMARY KEY,
    hash       BLOB     NOT NULL UNIQUE,
    role       TEXT     NOT NULL CHECK (role IN ('owner', 'lead', 'winder', 'bookkeeper')),
    created_at DATETIME NOT NULL,
    revoked_at DATETIME
);
CREATE UNIQUE INDEX tokens_name ON tokens (lower(name));

CREATE TABLE answers (
    key          TEXT     PRIMARY KEY,
    request_hash BLOB     NOT NULL,
    status       INTEGER  NOT NULL,
    body         BLOB     NOT NULL,
    at           DATETIME NOT NULL
);
