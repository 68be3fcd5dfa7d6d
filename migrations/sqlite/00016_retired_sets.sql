-- A retired set stays for the orders that name it; no new order does.

-- +goose Up
ALTER TABLE sets ADD COLUMN retired INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1));
