-- Late costs: what an invoice asks beyond the receipt lands on the spools that came. Results of a closed month keep their standard in
-- its figures.

-- +goose Up
-- What the wire received turned out to cost beyond cost: the sum of the spool's cost differences, kept.
ALTER TABLE spools ADD COLUMN late_cost BIGINT NOT NULL DEFAULT 0 CHECK (cost + late_cost >= 0);
ALTER TABLE spools DROP CONSTRAINT spools_check3;
ALTER TABLE spools ADD CHECK (value BETWEEN 0 AND cost + late_cost AND (mass > 0 OR value = 0));

ALTER TABLE movements DROP CONSTRAINT movements_kind_check;
ALTER TABLE movements ADD CONSTRAINT movements_kind_check
    CHECK (kind IN ('receipt', 'draw', 'scrap', 'weigh-back difference', 'count difference', 'return to supplier', 'write-off', 'reversal',
                    'cost difference', 'cost difference of used wire'));
ALTER TABLE movements ADD CHECK (kind NOT IN ('cost difference', 'cost difference of used wire') OR mass = 0);

-- The invoice that this one corrects.
ALTER TABLE purchase_invoices ADD COLUMN corrects TEXT NOT NULL DEFAULT '';
