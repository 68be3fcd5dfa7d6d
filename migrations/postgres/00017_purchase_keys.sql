-- A purchase remembers the idempotency key it was made under, so that pressing twice makes one.

-- +goose Up
ALTER TABLE purchases ADD COLUMN key TEXT;
CREATE UNIQUE INDEX purchases_key ON purchases (key) WHERE key IS NOT NULL;
