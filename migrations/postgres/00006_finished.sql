-- Finished stock is used before anything is wound: which surplus strings an order was given, and of which result they are.

-- +goose Up
-- The strings of a part of a result that no order owns, or one that was cancelled. Taken back when the order is cancelled.
CREATE TABLE finished_given (
    batch      CODE    NOT NULL,
    result     BIGINT  NOT NULL,
    part       BIGINT  NOT NULL,
    order_code CODE    NOT NULL,
    line       BIGINT  NOT NULL,
    position   BIGINT  NOT NULL,
    strings    BIGINT  NOT NULL CHECK (strings > 0),
    PRIMARY KEY (batch, result, part, order_code, line, position),
    FOREIGN KEY (batch, result, part) REFERENCES result_strings (batch, number, part),
    FOREIGN KEY (order_code, line, position) REFERENCES order_strings (order_code, line, position)
);
CREATE INDEX finished_given_order ON finished_given (order_code);
