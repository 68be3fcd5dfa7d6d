-- Numbers of batches that are never given twice, and delays that stay with their strings.

-- +goose Up
-- The highest number that a batch of a day was ever given. It stays when the plan goes: a printed sheet may still bear it.
CREATE TABLE batch_numbers (
    date   TEXT    NOT NULL PRIMARY KEY CHECK (length(date) = 10),
    number INTEGER NOT NULL CHECK (number >= 0)
) STRICT;
INSERT INTO batch_numbers (date, number)
SELECT '20' || substr(code, 2, 2) || '-' || substr(code, 4, 2) || '-' || substr(code, 6, 2), max(CAST(substr(code, 9) AS INTEGER))
FROM (SELECT code FROM batches UNION SELECT batch FROM sheet_issues UNION SELECT batch FROM plan_differences)
WHERE code GLOB 'B[0-9][0-9][0-9][0-9][0-9][0-9]-[0-9]*'
GROUP BY 1;

-- How much longer a batch takes than reckoned.
ALTER TABLE batches ADD COLUMN delay INTEGER NOT NULL DEFAULT 0;

-- The same of strings that are not in the day: the next batch of them has it.
CREATE TABLE plan_delays (
    date   TEXT    NOT NULL REFERENCES plans (date),
    number INTEGER NOT NULL,
    recipe TEXT    NOT NULL REFERENCES recipes (code),
    scale  INTEGER NOT NULL CHECK (scale > 0),
    delay  INTEGER NOT NULL,
    PRIMARY KEY (date, number)
) STRICT;
