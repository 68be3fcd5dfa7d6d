package store

import (
	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

type holderRow struct {
	Batch   batch.Code
	Number  int
	Date    calendar.Date
	Machine catalog.MachineCode
	Mass    measure.Mass
}

// Holders gives the released batches that hold wire of a spool, in the order in which they will be wound.
func (r *reader) Holders(code stock.SpoolCode) ([]workshop.Holder, error) {
	rows, err := list[holderRow](r, `SELECT d.batch, d.number, b.date, b.machine, d.allocated AS mass
		FROM batch_draws d JOIN batches b ON b.code = d.batch
		WHERE b.status = 'released' AND d.allocated > 0 AND d.spool = (SELECT code FROM spools WHERE lower(code) = lower(?))
		ORDER BY b.date, b.sequence, b.machine, d.number`, code)
	holders := make([]workshop.Holder, len(rows))
	for i, h := range rows {
		holders[i] = workshop.Holder(h)
	}
	return holders, named("spool", code, err)
}
