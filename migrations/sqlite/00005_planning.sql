-- Re-planning: what is kept with a plan, what the lead asked for, what differs from the plan before, issues of batch sheets.

-- +goose Up
-- When a machine is worked, such as 0:00-4:00;4:30-8:30 after the start of the day; empty: from the start for its minutes.
ALTER TABLE machines ADD COLUMN shifts TEXT NOT NULL DEFAULT '';

-- A plan is released when something of it is; batches that came in since are proposed beside those.
ALTER TABLE plans ADD COLUMN lateness         INTEGER NOT NULL DEFAULT 0; -- minutes, weighted
ALTER TABLE plans ADD COLUMN late_bound       INTEGER NOT NULL DEFAULT 0;
ALTER TABLE plans ADD COLUMN optimal          INTEGER NOT NULL DEFAULT 0 CHECK (optimal IN (0, 1));
ALTER TABLE plans ADD COLUMN proof            TEXT    NOT NULL DEFAULT '';
ALTER TABLE plans ADD COLUMN overtime         INTEGER NOT NULL DEFAULT 0; -- that it takes
ALTER TABLE plans ADD COLUMN overtime_allowed INTEGER NOT NULL DEFAULT 0 CHECK (overtime_allowed >= 0); -- on each machine

-- A batch that was taken back is proposed again: it may then be dropped.
CREATE TABLE plan_pins (
    date   TEXT NOT NULL REFERENCES plans (date),
    number INTEGER NOT NULL,
    batch  TEXT NOT NULL,
    PRIMARY KEY (date, number)
) STRICT;

-- Strings that are not wound on the day.
CREATE TABLE plan_held (
    date   TEXT    NOT NULL REFERENCES plans (date),
    number INTEGER NOT NULL,
    recipe TEXT    NOT NULL REFERENCES recipes (code),
    scale  INTEGER NOT NULL CHECK (scale > 0),
    PRIMARY KEY (date, number)
) STRICT;

-- Machines that wind nothing on the day but what is released to them.
CREATE TABLE plan_down (
    date    TEXT NOT NULL REFERENCES plans (date),
    machine TEXT NOT NULL REFERENCES machines (code),
    PRIMARY KEY (date, machine)
) STRICT;

-- What became of each batch since the plan before; NULL is no place, place 0 neither.
CREATE TABLE plan_differences (
    date         TEXT    NOT NULL REFERENCES plans (date),
    number       INTEGER NOT NULL,
    what         TEXT    NOT NULL CHECK (what IN ('came in', 'went out', 'moved', 'resized', 'redrawn')),
    batch        TEXT    NOT NULL, -- one that went out is gone
    recipe       TEXT    NOT NULL REFERENCES recipes (code),
    scale        INTEGER NOT NULL,
    from_machine TEXT    REFERENCES machines (code),
    from_place   INTEGER NOT NULL,
    to_machine   TEXT    REFERENCES machines (code),
    to_place     INTEGER NOT NULL,
    strings_was  INTEGER NOT NULL,
    strings_is   INTEGER NOT NULL,
    other_draws  INTEGER NOT NULL CHECK (other_draws IN (0, 1)),
    PRIMARY KEY (date, number)
) STRICT;

-- What was printed for the bench. A code may come back after its batch was taken back: the sheet in hand is then replaced.
CREATE TABLE sheet_issues (
    batch     TEXT     NOT NULL,
    version   INTEGER  NOT NULL CHECK (version > 0),
    hash      BLOB     NOT NULL, -- of what the bench works by
    issued_at DATETIME NOT NULL,
    issued_by TEXT     NOT NULL,
    PRIMARY KEY (batch, version)
);
-- +goose StatementBegin
CREATE TRIGGER sheet_issues_no_update BEFORE UPDATE ON sheet_issues
BEGIN SELECT RAISE(ABORT, 'append only: an issue of a sheet is never changed; issue it again'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER sheet_issues_no_delete BEFORE DELETE ON sheet_issues
BEGIN SELECT RAISE(ABORT, 'append only: an issue of a sheet is never deleted; issue it again'); END;
-- +goose StatementEnd
