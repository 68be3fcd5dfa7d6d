-- Late costs: what an invoice asks beyond the receipt lands on the spools that came. Results of a closed month keep their standard in
-- its figures.

-- +goose Up
-- What the wire received turned out to cost beyond cost: the sum of the spool's cost differences, kept.
ALTER TABLE spools ADD COLUMN late_cost INTEGER NOT NULL DEFAULT 0 CHECK (cost + late_cost >= 0);

-- CHECKs take in more than they did. No row changes, so neither table, which may be long, is written anew: the schema's text is (as SQLite's
-- own documentation of ALTER TABLE has it for constraints).
PRAGMA writable_schema = ON;
UPDATE sqlite_schema SET sql = replace(sql, 'CHECK (value BETWEEN 0 AND cost AND', 'CHECK (value BETWEEN 0 AND cost + late_cost AND')
    WHERE type = 'table' AND name = 'spools';
UPDATE sqlite_schema SET sql = replace(replace(sql, '''return to supplier'', ''write-off'', ''reversal'')),',
        '''return to supplier'', ''write-off'', ''reversal'', ''cost difference'', ''cost difference of used wire'')),'),
        'CHECK (kind <> ''receipt'' OR mass >= 0)',
        'CHECK (kind <> ''receipt'' OR mass >= 0), CHECK (kind NOT IN (''cost difference'', ''cost difference of used wire'') OR mass = 0)')
    WHERE type = 'table' AND name = 'movements';
PRAGMA writable_schema = RESET;

-- The invoice that this one corrects.
ALTER TABLE purchase_invoices ADD COLUMN corrects TEXT NOT NULL DEFAULT '';
