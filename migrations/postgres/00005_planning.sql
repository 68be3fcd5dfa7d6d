-- Re-planning: what is kept with a plan, what the lead asked for, what differs from the plan before, issues of batch sheets.

-- +goose Up
-- When a machine is worked, such as 0:00-4:00;4:30-8:30 after the start of the day; empty: from the start for its minutes.
ALTER TABLE machines ADD COLUMN shifts TEXT NOT NULL DEFAULT '';

-- A plan is released when something of it is; batches that came in since are proposed beside those.
ALTER TABLE plans ADD COLUMN lateness         BIGINT NOT NULL DEFAULT 0; -- minutes, weighted
ALTER TABLE plans ADD COLUMN late_bound       BIGINT NOT NULL DEFAULT 0;
ALTER TABLE plans ADD COLUMN optimal          BOOLEAN NOT NULL DEFAULT FALSE;
ALTER TABLE plans ADD COLUMN proof            TEXT    NOT NULL DEFAULT '';
ALTER TABLE plans ADD COLUMN overtime         BIGINT NOT NULL DEFAULT 0; -- that it takes
ALTER TABLE plans ADD COLUMN overtime_allowed BIGINT NOT NULL DEFAULT 0 CHECK (overtime_allowed >= 0); -- on each machine

-- A batch that was taken back is proposed again: it may then be dropped.
CREATE TABLE plan_pins (
    date   CODE NOT NULL REFERENCES plans (date),
    number BIGINT NOT NULL,
    batch  CODE NOT NULL,
    PRIMARY KEY (date, number)
);

-- Strings that are not wound on the day.
CREATE TABLE plan_held (
    date   CODE    NOT NULL REFERENCES plans (date),
    number BIGINT NOT NULL,
    recipe CODE    NOT NULL REFERENCES recipes (code),
    scale  BIGINT NOT NULL CHECK (scale > 0),
    PRIMARY KEY (date, number)
);

-- Machines that wind nothing on the day but what is released to them.
CREATE TABLE plan_down (
    date    CODE NOT NULL REFERENCES plans (date),
    machine CODE NOT NULL REFERENCES machines (code),
    PRIMARY KEY (date, machine)
);

-- What became of each batch since the plan before; NULL is no place, place 0 neither.
CREATE TABLE plan_differences (
    date         CODE    NOT NULL REFERENCES plans (date),
    number       BIGINT NOT NULL,
    what         TEXT    NOT NULL CHECK (what IN ('came in', 'went out', 'moved', 'resized', 'redrawn')),
    batch        CODE    NOT NULL, -- one that went out is gone
    recipe       CODE    NOT NULL REFERENCES recipes (code),
    scale        BIGINT NOT NULL,
    from_machine CODE    REFERENCES machines (code),
    from_place   BIGINT NOT NULL,
    to_machine   CODE    REFERENCES machines (code),
    to_place     BIGINT NOT NULL,
    strings_was  BIGINT NOT NULL,
    strings_is   BIGINT NOT NULL,
    other_draws  BOOLEAN NOT NULL,
    PRIMARY KEY (date, number)
);

-- What was printed for the bench. A code may come back after its batch was taken back: the sheet in hand is then replaced.
CREATE TABLE sheet_issues (
    batch     CODE     NOT NULL,
    version   BIGINT  NOT NULL CHECK (version > 0),
    hash      BYTEA    NOT NULL, -- of what the bench works by
    issued_at TIMESTAMPTZ NOT NULL,
    issued_by TEXT     NOT NULL,
    PRIMARY KEY (batch, version)
);
CREATE TRIGGER sheet_issues_no_change BEFORE UPDATE OR DELETE ON sheet_issues FOR EACH ROW
    EXECUTE FUNCTION refuse_change('an issue of a sheet is never changed or deleted; issue it again');
CREATE TRIGGER sheet_issues_no_truncate BEFORE TRUNCATE ON sheet_issues FOR EACH STATEMENT
    EXECUTE FUNCTION refuse_change('an issue of a sheet is never changed or deleted; issue it again');
