package workshop

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/requirements"
	"windingroom/internal/stock"
)

// DaySheets gives the batch sheets of what is released of a day, and notes them as issued: a sheet on which anything that the bench
// works by has changed gets the next version. It fails with ErrNotFound when there is no plan, with ErrNotReleased when it is only
// proposed. Everyone in the shop may print them.
func (s *Shop) DaySheets(ctx context.Context, date calendar.Date) (batch.Day, error) {
	p, err := allow(ctx, "printing batch sheets", Roles()...)
	if err != nil {
		return batch.Day{}, err
	}
	var sheets batch.Day
	var fresh []SheetIssue
	err = s.Store.Read(ctx, func(r Reader) error {
		sheets, fresh, err = s.sheetsOf(r, date)
		return err
	})
	if err != nil || len(fresh) == 0 {
		return sheets, err
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		if sheets, fresh, err = s.sheetsOf(tx, date); err != nil {
			return err
		}
		for i := range fresh {
			fresh[i].At, fresh[i].By = s.Now().UTC(), p.Name
		}
		if err := tx.IssueSheets(fresh); err != nil {
			return err
		}
		return tx.Record(s.audit(p, "issue sheets", date.String(), issueDetail(fresh)))
	})
	return sheets, err
}

// sheetsOf writes the sheets of a day with their versions, and gives the issues that are not noted yet.
func (s *Shop) sheetsOf(r Reader, date calendar.Date) (batch.Day, []SheetIssue, error) {
	sheets := batch.Day{Shop: s.Name, Date: date}
	day, err := planOf(r, date)
	if err != nil {
		return sheets, nil, err
	}
	standing := day.Standing()
	if !day.Released && len(standing) == 0 {
		return sheets, nil, fmt.Errorf("the plan of %s: %w", date, ErrNotReleased)
	}
	sheets.Setup, sheets.SetupBound = day.Setup, day.SetupBound
	desk, err := newDesk(r, standing)
	if err != nil {
		return sheets, nil, err
	}
	for _, b := range standing {
		sheet, err := desk.sheet(b)
		if err != nil {
			return sheets, nil, fmt.Errorf("batch %s: %w", b.Code, err)
		}
		sheets.Sheets = append(sheets.Sheets, sheet)
	}
	fresh, err := number(r, sheets.Sheets)
	return sheets, fresh, err
}

// desk is what one needs at hand to write the sheets of a day.
type desk struct {
	practice catalog.Practice
	bench    *requirements.Bench
	alloys   material.Alloys
	wires    map[material.WireCode]material.Wire
	spools   map[stock.SpoolCode]stock.Balance
	before   map[drawKey]measure.Mass // net on the spool when the draw begins
	orders   map[order.Code]order.Order
	own      map[catalog.RecipeCode]batch.OwnGauge
}

type drawKey struct {
	batch batch.Code
	draw  int
}

func newDesk(r Reader, standing []batch.Batch) (*desk, error) {
	d := &desk{
		wires: map[material.WireCode]material.Wire{}, spools: map[stock.SpoolCode]stock.Balance{},
		before: map[drawKey]measure.Mass{}, orders: map[order.Code]order.Order{},
	}
	var err error
	if d.bench, err = benchOf(r); err != nil {
		return nil, err
	}
	if d.practice, err = r.Practice(); err != nil {
		return nil, err
	}
	if d.alloys, err = allAlloys(r); err != nil {
		return nil, err
	}
	wires, err := r.Wires()
	if err != nil {
		return nil, err
	}
	for _, w := range wires {
		d.wires[w.Code] = w
	}
	spools, err := r.Spools()
	if err != nil {
		return nil, err
	}
	for _, b := range spools {
		d.spools[b.Code] = b
	}
	if d.own, err = ownGauges(r); err != nil {
		return nil, err
	}
	d.weighAhead(slices.Clone(standing))
	return d, d.fetchOrders(r, standing)
}

// fetchOrders reads the orders that the batches serve.
func (d *desk) fetchOrders(r Reader, standing []batch.Batch) error {
	for _, b := range standing {
		for _, sv := range b.Serves {
			if _, ok := d.orders[sv.Order]; ok {
				continue
			}
			o, err := r.Order(sv.Order)
			if err != nil {
				return fmt.Errorf("order %s: %w", sv.Order, err)
			}
			d.orders[sv.Order] = o
		}
	}
	return nil
}

// weighAhead works out what each spool should hold before each draw, in the order in which the batches start. What finished
// batches drew is off their spools already, so their draws are put back first.
func (d *desk) weighAhead(batches []batch.Batch) {
	slices.SortStableFunc(batches, func(a, b batch.Batch) int { return cmp.Compare(a.Starts, b.Starts) })
	left := map[stock.SpoolCode]measure.Mass{}
	for code, b := range d.spools {
		left[code] = b.Mass
	}
	for _, b := range batches {
		for _, draw := range b.Draws {
			if b.Status == batch.Finished {
				left[draw.Spool] += draw.Mass
			}
		}
	}
	for _, b := range batches {
		for i, draw := range b.Draws {
			d.before[drawKey{b.Code, i}] = left[draw.Spool]
			left[draw.Spool] -= draw.Mass
		}
	}
}

// sheet writes the sheet of one batch.
func (d *desk) sheet(b batch.Batch) (batch.Sheet, error) {
	recipe, err := d.bench.Recipe(b.Recipe)
	if err != nil {
		return batch.Sheet{}, err
	}
	sheet := batch.Sheet{
		Batch: b, Gauge: recipe.Gauge, Tolerance: gaugeTolerance(recipe), BallEnd: recipe.BallEnd,
		CoreCut: d.practice.CoreCut(b.Scale, recipe.BallEnd), Own: d.own[recipe.Code],
	}
	if !recipe.Plain() {
		sheet.WoundLength = d.practice.WoundLength(b.Scale)
	}
	if err := d.loads(&sheet, recipe); err != nil {
		return batch.Sheet{}, err
	}
	d.draws(&sheet)
	d.serves(&sheet)
	sheet.Cautions = d.cautions(sheet, recipe)
	return sheet, nil
}

// loads fills in what goes on the machine and what one string takes of it.
func (d *desk) loads(sheet *batch.Sheet, recipe catalog.Recipe) error {
	geometry, err := d.bench.String(recipe.Code)
	if err != nil {
		return err
	}
	use, err := d.bench.Consumption(recipe.Code, sheet.Scale)
	if err != nil {
		return err
	}
	sheet.Core = d.load(recipe.Core)
	sheet.Core.Length, sheet.Core.Each = use.Core.Length, use.Core.Each
	sheet.Core.After = sizeOf(d.wires[recipe.Core].Form.OverCorners())
	for i, w := range recipe.Wraps {
		l := d.load(w.Wire)
		l.Lay, l.After = geometry.Turns[i].Lay, sizeOf(geometry.Turns[i].DiameterAfter)
		l.Turns = use.Layers[i].Turns + d.practice.WasteTurns
		l.Length, l.Each = use.Layers[i].Length, use.Layers[i].Each
		sheet.Wraps = append(sheet.Wraps, l)
	}
	return nil
}

func (d *desk) load(code material.WireCode) batch.Load {
	w := d.wires[code]
	alloy, _ := d.alloys.Find(w.Alloy)
	return batch.Load{Wire: w.Code, AlloyName: alloy.Name, Nickel: alloy.Nickel == material.Yes, Unsaid: alloy.Nickel == material.Unsaid, Form: w.Form}
}

func (d *desk) draws(sheet *batch.Sheet) {
	for i, draw := range sheet.Draws {
		spool := d.spools[draw.Spool]
		before := d.before[drawKey{sheet.Code, i}]
		sheet.Spools = append(sheet.Spools, batch.SpoolDraw{
			Draw: draw, Lot: spool.Lot, Location: spool.Location, Tare: spool.Tare, Before: before, After: before - draw.Mass,
		})
	}
}

func (d *desk) serves(sheet *batch.Sheet) {
	for _, sv := range sheet.Serves {
		o := d.orders[sv.Order]
		f := batch.For{Serve: sv, Customer: o.Customer, DueOn: o.DueOn, Status: o.Status}
		if str, ok := o.String(sv.Line, sv.Position); ok {
			f.Pitch = str.Pitch
		}
		sheet.For = append(sheet.For, f)
	}
}

// cautions gives what is special about this batch; the standing cautions of a winding room are printed on every sheet.
func (d *desk) cautions(sheet batch.Sheet, recipe catalog.Recipe) []batch.Caution {
	cautions := cancelled(sheet)
	for _, s := range sheet.Spools {
		switch end := d.wires[s.Wire].UsableEnd; {
		case s.After < 0:
			cautions = append(cautions, batch.Caution{Before: fmt.Sprintf("Spool %s holds ", s.Spool), Mass: -s.After, After: " less than this batch wants of it: ask for another spool before you start."})
		case s.After < end:
			cautions = append(cautions, batch.Caution{Before: fmt.Sprintf("Spool %s ends below its usable end of ", s.Spool), Mass: end, After: ": watch the last strings and keep the remnant apart."})
		}
	}
	if off := sheet.Own.Gauge - sheet.Gauge; sheet.Own.Strings > 0 && max(off, -off) > sheet.Tolerance {
		cautions = append(cautions, batch.Caution{Before: fmt.Sprintf("The shop's own strings of %s measure ", recipe.Code), Size: sheet.Own.Gauge,
			After: ", beyond the tolerance of the gauge they go by: tell the lead."})
	}
	for _, w := range recipe.Wraps {
		if w.Lay > 0 {
			cautions = append(cautions, batch.Caution{Before: fmt.Sprintf("%s is wound with a lay of ", w.Wire), Size: w.Lay, After: ": do not close the turns."})
		}
	}
	return cautions
}

// cancelled warns of strings that nobody wants any more. The batch stands until the lead takes it back.
func cancelled(sheet batch.Sheet) []batch.Caution {
	var cautions []batch.Caution
	for _, f := range sheet.For {
		if f.Status == order.Cancelled {
			cautions = append(cautions, notWanted(f))
		}
	}
	if len(cautions) > 0 && len(cautions) == len(sheet.For) {
		return []batch.Caution{batch.Warn("Every order of this batch is cancelled: do not wind it, ask the lead to take it back.")}
	}
	return cautions
}

func notWanted(f batch.For) batch.Caution {
	if f.Strings == 1 {
		return batch.Warn("Order %s is cancelled: its string is not wanted.", f.Order)
	}
	return batch.Warn("Order %s is cancelled: its %d strings are not wanted.", f.Order, f.Strings)
}

// gaugeTolerance says how far a finished string may be off its gauge. A plain string may differ as its wire may (ASTM A228,
// diameter tolerance, read in a copy); a wound one by half a thousandth below .040 in and by one above (common practice, no
// source).
func gaugeTolerance(r catalog.Recipe) measure.Size {
	if r.Plain() {
		if tolerance, ok := material.DiameterTolerance(r.Gauge); ok {
			return tolerance
		}
	}
	if r.Gauge < 40*measure.Thou {
		return measure.Thou / 2
	}
	return measure.Thou
}

// sizeOf rounds a computed diameter to the nanometre.
func sizeOf(l measure.Length) measure.Size {
	s, err := measure.SizeFromMillimetres(l.Millimetres())
	if err != nil {
		return 0 // beyond 100 m: Design has refused it long before
	}
	return s
}
