-- A retired set stays for the orders that name it; no new order does.

-- +goose Up
ALTER TABLE sets ADD COLUMN retired BOOLEAN NOT NULL DEFAULT FALSE;
