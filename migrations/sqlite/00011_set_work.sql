-- Set work: what the shop judges and prices sets by.

-- +goose Up
ALTER TABLE practice ADD COLUMN caution_share   REAL NOT NULL DEFAULT 0.6;
ALTER TABLE practice ADD COLUMN refuse_share    REAL NOT NULL DEFAULT 0.7;
ALTER TABLE practice ADD COLUMN least_core      REAL NOT NULL DEFAULT 0.18;
ALTER TABLE practice ADD COLUMN most_core       REAL NOT NULL DEFAULT 0.55;
ALTER TABLE practice ADD COLUMN most_wrap       REAL NOT NULL DEFAULT 1;
ALTER TABLE practice ADD COLUMN added_tension   REAL NOT NULL DEFAULT 25;
ALTER TABLE practice ADD COLUMN labour_per_hour INTEGER NOT NULL DEFAULT 0;
ALTER TABLE practice ADD COLUMN margin          REAL NOT NULL DEFAULT 0.5;
