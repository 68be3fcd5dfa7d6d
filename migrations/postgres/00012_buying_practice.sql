-- How the shop buys, and what its suppliers' carriage costs.

-- +goose Up
ALTER TABLE suppliers ADD COLUMN freight        BIGINT NOT NULL DEFAULT 0 CHECK (freight >= 0);        -- of one order
ALTER TABLE suppliers ADD COLUMN freight_per_kg BIGINT NOT NULL DEFAULT 0 CHECK (freight_per_kg >= 0); -- and of each kilogram in it

ALTER TABLE practice ADD COLUMN buying_service        DOUBLE PRECISION NOT NULL DEFAULT 0.95 CHECK (buying_service > 0 AND buying_service < 1);
ALTER TABLE practice ADD COLUMN buying_review_days    BIGINT NOT NULL DEFAULT 1    CHECK (buying_review_days > 0);
ALTER TABLE practice ADD COLUMN buying_receiving_days BIGINT NOT NULL DEFAULT 1    CHECK (buying_receiving_days >= 0);
ALTER TABLE practice ADD COLUMN buying_carrying_rate  DOUBLE PRECISION NOT NULL DEFAULT 0.2  CHECK (buying_carrying_rate > 0);
ALTER TABLE practice ADD COLUMN buying_line_cost      BIGINT NOT NULL DEFAULT 0    CHECK (buying_line_cost >= 0);
ALTER TABLE practice ADD COLUMN buying_watch_days     BIGINT NOT NULL DEFAULT 14   CHECK (buying_watch_days >= 0);
ALTER TABLE practice ADD COLUMN buying_cover_days     BIGINT NOT NULL DEFAULT 365  CHECK (buying_cover_days > 0);
