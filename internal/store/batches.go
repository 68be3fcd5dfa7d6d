package store

import (
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

type batchRow struct {
	Code            batch.Code
	Date            calendar.Date
	Machine         catalog.MachineCode
	Sequence        int
	Status          batch.Status
	Recipe          catalog.RecipeCode
	Scale           measure.Size
	Ordered, ToWind int
	Setup, Run      time.Duration
	Starts, Ends    time.Duration
	Delay           time.Duration
}

func (r batchRow) batch(draws []batch.Draw, serves []batch.Serve) batch.Batch {
	return batch.Batch{Code: r.Code, Date: r.Date, Machine: r.Machine, Sequence: r.Sequence, Status: r.Status,
		Recipe: r.Recipe, Scale: r.Scale, Ordered: r.Ordered, ToWind: r.ToWind,
		Setup: r.Setup, Run: r.Run, Delay: r.Delay, Starts: r.Starts, Ends: r.Ends, Draws: draws, Serves: serves}
}

type drawRow struct {
	Batch   batch.Code
	Number  int
	Spool   stock.SpoolCode
	Wire    material.WireCode
	Strings int
	Mass    measure.Mass

	Allocated measure.Mass
	MassEach  measure.MassEach
}

type serveRow struct {
	Batch     batch.Code
	OrderCode order.Code
	Line      int
	Position  int
	Strings   int
}

func (r serveRow) serve() batch.Serve {
	return batch.Serve{Order: r.OrderCode, Line: r.Line, Position: r.Position, Strings: r.Strings}
}

// Batches gives batches by date, machine and sequence.
func (r *reader) Batches(filter workshop.BatchFilter) ([]batch.Batch, error) {
	where, args := "1 = 1", []any(nil)
	if !filter.Date.IsZero() {
		where, args = where+" AND date = ?", append(args, day(filter.Date))
	}
	if filter.Status != "" {
		where, args = where+" AND status = ?", append(args, filter.Status)
	}
	return r.batches(where, args...)
}

// batches reads the batches of a condition in three queries, whatever their number.
func (r *reader) batches(where string, args ...any) ([]batch.Batch, error) {
	rows, err := list[batchRow](r, "SELECT * FROM batches WHERE "+where+" ORDER BY date, machine, sequence", args...)
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	theirs := " WHERE batch IN (SELECT code FROM batches WHERE " + where + ") ORDER BY batch, "
	drawRows, err := list[drawRow](r, "SELECT * FROM batch_draws"+theirs+"number", args...)
	if err != nil {
		return nil, err
	}
	serveRows, err := list[serveRow](r, "SELECT * FROM batch_serves"+theirs+"order_code, line, position", args...)
	if err != nil {
		return nil, err
	}
	draws := map[batch.Code][]batch.Draw{}
	for _, d := range drawRows {
		draws[d.Batch] = append(draws[d.Batch], batch.Draw{Spool: d.Spool, Wire: d.Wire, Strings: d.Strings, Mass: d.Mass, Each: d.MassEach, Allocated: d.Allocated})
	}
	serves := map[batch.Code][]batch.Serve{}
	for _, s := range serveRows {
		serves[s.Batch] = append(serves[s.Batch], s.serve())
	}
	batches := make([]batch.Batch, len(rows))
	for i, row := range rows {
		batches[i] = row.batch(draws[row.Code], serves[row.Code])
	}
	return batches, nil
}

// addBatches adds batches with their draws and serves.
func (t *tx) addBatches(batches []batch.Batch) error {
	if err := refuseTaken(t, "batch", "batches", batches, func(b batch.Batch) batch.Code { return b.Code }); err != nil {
		return err
	}
	var draws []drawRow
	var serves []serveRow
	for _, b := range batches {
		for i, d := range b.Draws {
			draws = append(draws, drawRow{b.Code, i + 1, d.Spool, d.Wire, d.Strings, d.Mass, 0, d.Each})
		}
		for _, s := range b.Serves {
			serves = append(serves, serveRow{b.Code, s.Order, s.Line, s.Position, s.Strings})
		}
	}
	const columns = "code, date, machine, sequence, status, recipe, scale, ordered, to_wind, setup, run, delay, starts, ends"
	err := insert(t, "batches", columns, batches, func(b batch.Batch) []any {
		return []any{b.Code, day(b.Date), b.Machine, b.Sequence, b.Status, b.Recipe, b.Scale, b.Ordered, b.ToWind,
			int64(b.Setup), int64(b.Run), int64(b.Delay), int64(b.Starts), int64(b.Ends)}
	})
	if err != nil {
		return err
	}
	err = insert(t, "batch_draws", "batch, number, spool, wire, strings, mass, mass_each", draws, func(d drawRow) []any {
		return []any{d.Batch, d.Number, d.Spool, d.Wire, d.Strings, d.Mass, d.MassEach}
	})
	if err != nil {
		return err
	}
	return insert(t, "batch_serves", "batch, order_code, line, position, strings", serves, func(s serveRow) []any {
		return []any{s.Batch, s.OrderCode, s.Line, s.Position, s.Strings}
	})
}
