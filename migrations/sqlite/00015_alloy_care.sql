-- What the surface of an alloy does to skin and air is a property of its own, and a measured gauge keeps what was computed for it.

-- +goose Up
ALTER TABLE alloys ADD COLUMN nickel TEXT NOT NULL DEFAULT '' CHECK (nickel IN ('', 'yes', 'no'));                -- at its surface; empty: not said
ALTER TABLE alloys ADD COLUMN tarnishes TEXT NOT NULL DEFAULT '' CHECK (tarnishes IN ('', 'sooner', 'later'));    -- empty: not said
ALTER TABLE calibrations ADD COLUMN gauge_computed REAL NOT NULL DEFAULT 0; -- nm, when it was measured; 0 before this was kept
