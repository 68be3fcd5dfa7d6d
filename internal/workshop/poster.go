package workshop

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/requirements"
	"windingroom/internal/stock"
)

// poster is the posting of results in one transaction.
type poster struct {
	shop    *Shop
	tx      Tx
	person  Person
	bench   *requirements.Bench        // made when first needed
	touched map[material.WireCode]bool // wires whose promises are to be looked at in the end
}

func newPoster(s *Shop, tx Tx, p Person) *poster {
	return &poster{shop: s, tx: tx, person: p, touched: map[material.WireCode]bool{}}
}

// mostDaysOn is by how many days a result may lie after its batch's day or today, the later of them. A plan's day may lie ahead, and a
// batch may go on for some days after it; a month later is another month or year by a slip of the pen (judgement).
const mostDaysOn = 31

// post posts one result. It decides everything before it writes anything, so that a refused row leaves no trace.
func (w *poster) post(f ResultForm) (ResultPosted, error) {
	if err := f.check(); err != nil {
		return ResultPosted{}, err
	}
	b, err := w.tx.Batch(f.Batch)
	if err != nil {
		return ResultPosted{}, err
	}
	results, err := w.tx.Results(b.Code)
	if err != nil {
		return ResultPosted{}, err
	}
	if here, found, err := w.before(f, b, results); found || err != nil {
		return ResultPosted{Batch: b, Result: here, Unchanged: true}, err
	}
	if b.Status != batch.Released {
		return ResultPosted{}, fmt.Errorf("batch %s is only proposed for %s: %w", b.Code, b.Date, ErrNotReleased)
	}
	if last := max(w.shop.Today(), b.Date) + mostDaysOn; f.WoundOn > last {
		return ResultPosted{}, wrong("wound_on", "%s is still to come: batch %s, planned for %s, is written up by %s", f.WoundOn, b.Code, b.Date, last)
	}
	result := batch.Result{
		Batch: b.Code, Number: len(results) + 1, WoundOn: cmp.Or(f.WoundOn, b.Date), Good: f.Good, Scrapped: f.Scrapped, Minutes: f.Minutes,
		Person: f.Person, Continues: f.Continues, PostedAt: w.shop.Now().UTC(), PostedBy: w.person.Name, Key: f.Key,
	}
	balances, err := w.take(&result, f, b, results)
	if err != nil {
		return ResultPosted{}, err
	}
	if err := w.write(&result, b, results, balances); err != nil {
		return ResultPosted{}, err
	}
	return w.posted(result)
}

// take decides which spools gave wire, and refuses what they cannot have given.
func (w *poster) take(result *batch.Result, f ResultForm, b batch.Batch, results []batch.Result) (map[stock.SpoolCode]stock.Balance, error) {
	named, err := w.named(f)
	if err != nil {
		return nil, err
	}
	wound := batch.Wound(results)
	taken, err := b.Take(result.Strings(), wound, named)
	if err != nil {
		return nil, err
	}
	if err := w.makeBench(); err != nil {
		return nil, err
	}
	each, err := eachOf(w.bench, b, results)
	if err != nil {
		return nil, err
	}
	balances := map[stock.SpoolCode]stock.Balance{}
	for _, t := range taken {
		spool, err := w.tx.Spool(t.Spool)
		if err != nil {
			return nil, err
		}
		d := batch.Taken{Spool: t.Spool, Wire: t.Wire, Strings: t.Strings, Each: each[t.Wire]}
		d.Mass = batch.Mass(d.Each, wound[t.Spool], t.Strings)
		have, err := w.had(spool, b, result.WoundOn)
		if err != nil {
			return nil, err
		}
		if err := gives(spool, d, have, b.Code, result.WoundOn); err != nil {
			return nil, err
		}
		balances[spool.Code] = spool
		result.Draws = append(result.Draws, d)
	}
	return balances, nil
}

// had gives how much of a spool a batch may have wound on a day: what the batch holds of it and what nobody holds, or, where the
// spool was weighed after that day's work, the least that the books say it held from then to the weighing.
func (w *poster) had(spool stock.Balance, b batch.Batch, on calendar.Date) (measure.Mass, error) {
	h, err := historyOf(w.tx, spool.Code, time.Time{})
	if err != nil {
		return 0, err
	}
	then := stock.Movement{EffectiveAt: w.shop.instant(on, noon)}
	if weighing, weighed := h.WeighedSince(then); weighed {
		least, _ := h.Between(then, weighing)
		return least, nil
	}
	have := spool.Free()
	for _, own := range b.Draws {
		if own.Spool == spool.Code {
			have += own.Allocated
		}
	}
	return have, nil
}

// gives says whether a spool can have given wire to a batch.
func gives(spool stock.Balance, d batch.Taken, have measure.Mass, b batch.Code, on calendar.Date) error {
	switch {
	case spool.ReceivedOn > on:
		return fmt.Errorf("spool %s of %s was received on %s, after %s: name the spool that was wound from: %w", spool.Code, d.Wire, spool.ReceivedOn, on, batch.ErrSpools)
	case d.Mass > have:
		return fmt.Errorf("spool %s has %s of %s for batch %s, and %d strings take %s: name the spools that were wound from, or weigh it: %w",
			spool.Code, have, d.Wire, b, d.Strings, d.Mass, ErrShort)
	}
	return nil
}

// eachOf gives the wire that one string of a batch takes: as in its results so far, so that they add up, else as the plan counted
// it, else as computed.
func eachOf(bench *requirements.Bench, b batch.Batch, results []batch.Result) (map[material.WireCode]measure.MassEach, error) {
	uses, err := bench.Uses(b.Recipe, b.Scale)
	if err != nil {
		return nil, err
	}
	each := map[material.WireCode]measure.MassEach{}
	for _, u := range uses {
		each[u.Wire] = u.Each
	}
	for _, d := range b.Draws {
		if d.Each > 0 {
			each[d.Wire] = d.Each
		}
	}
	for _, r := range results {
		if r.Stands() {
			for _, d := range r.Draws {
				each[d.Wire] = d.Each
			}
		}
	}
	return each, nil
}

// write posts what was decided.
func (w *poster) write(result *batch.Result, b batch.Batch, results []batch.Result, balances map[stock.SpoolCode]stock.Balance) error {
	orders, err := w.orders(b)
	if err != nil {
		return err
	}
	if err := w.give(result, b, results, orders); err != nil {
		return err
	}
	if err := w.consume(*result, b, results); err != nil {
		return err
	}
	if err := w.postDraws(result, balances); err != nil {
		return err
	}
	if *result, err = w.tx.AddResult(*result); err != nil {
		return err
	}
	if err := w.tx.TakeTally(b.Code, result.Number); err != nil {
		return err
	}
	if !result.Continues {
		if err := w.tx.SetBatchStatus(b.Code, batch.Released, batch.Finished); err != nil {
			return err
		}
	}
	for _, o := range orders {
		if err := w.after(o, !result.Continues); err != nil {
			return err
		}
	}
	for _, wire := range b.Wires() {
		w.touched[wire] = true
	}
	return w.tx.Record(w.shop.audit(w.person, "post result", string(b.Code), figures(*result)))
}

// orders reads the orders that a batch serves, in due order.
func (w *poster) orders(b batch.Batch) ([]order.Order, error) {
	var orders []order.Order
	for _, sv := range b.Serves {
		if len(orders) > 0 && orders[len(orders)-1].Code == sv.Order {
			continue
		}
		o, err := w.tx.Order(sv.Order)
		if err != nil {
			return nil, err
		}
		orders = append(orders, o)
	}
	slices.SortFunc(orders, func(a, b order.Order) int { return cmp.Or(cmp.Compare(a.DueOn, b.DueOn), cmp.Compare(a.Code, b.Code)) })
	return orders, nil
}

// give hands the good strings to the orders that still want them, the earliest due first; the rest is finished stock.
func (w *poster) give(result *batch.Result, b batch.Batch, results []batch.Result, orders []order.Order) error {
	var given []batch.Serve
	for _, r := range results {
		if r.Stands() {
			given = append(given, r.Given...)
		}
	}
	var serves []batch.Serve
	for _, o := range orders {
		own, err := w.wanted(o, b, given)
		if err != nil {
			return err
		}
		serves = append(serves, own...)
	}
	out, surplus := batch.Give(result.Good, serves, given)
	if surplus > 0 {
		out = append(out, batch.Serve{Strings: surplus})
	}
	result.Given = out
	return nil
}

// wanted gives what a batch serves of an open order, less what the order has from others by now: where a result was undone, two
// batches may wind for the same string.
func (w *poster) wanted(o order.Order, b batch.Batch, given []batch.Serve) ([]batch.Serve, error) {
	if !o.Open() {
		return nil, nil
	}
	good, err := w.tx.GoodStrings(o.Code)
	if err != nil {
		return nil, err
	}
	count := func(list []batch.Serve, at batch.Serve) (n int) {
		for _, g := range list {
			if g.Order == at.Order && g.Line == at.Line && g.Position == at.Position {
				n += g.Strings
			}
		}
		return n
	}
	var own []batch.Serve
	for _, sv := range b.Serves {
		if sv.Order == o.Code {
			others := count(good, sv) - count(given, sv)
			sv.Strings = min(sv.Strings, max(o.Quantity(sv.Line)-others, 0))
			own = append(own, sv)
		}
	}
	return own, nil
}

// consume takes what was drawn out of what the batch holds, and frees what it needs no more.
func (w *poster) consume(result batch.Result, b batch.Batch, results []batch.Result) error {
	claims := make([]measure.Mass, len(b.Draws))
	if result.Continues {
		var err error
		if claims, err = claimsOf(w.tx, b, append(slices.Clone(results), result)); err != nil {
			return err
		}
	}
	for i, d := range b.Draws {
		left := d.Allocated
		for _, t := range result.Draws {
			if t.Spool == d.Spool {
				left = max(left-t.Mass, 0)
			}
		}
		if err := hold(w.tx, b, i, min(left, claims[i])); err != nil {
			return err
		}
	}
	return nil
}

// postDraws takes the wire off its spools.
func (w *poster) postDraws(result *batch.Result, balances map[stock.SpoolCode]stock.Balance) error {
	moves := make([]stock.Movement, len(result.Draws))
	for i, d := range result.Draws {
		on := balances[d.Spool]
		cost := on.CostOf(-d.Mass)
		on.Mass, on.Value = on.Mass-d.Mass, on.Value+cost // a spool may be drawn on twice
		balances[d.Spool] = on
		moves[i] = stock.Movement{
			Spool: d.Spool, Kind: stock.Draw, Mass: -d.Mass, Cost: cost,
			EffectiveOn: result.WoundOn, EffectiveAt: w.shop.instant(result.WoundOn, noon), PostedAt: result.PostedAt, Person: w.person.Name,
			Reason: fmt.Sprintf("%d strings wound by %s", d.Strings, result.Person), Source: "batch " + string(result.Batch),
			Key: fmt.Sprintf("result %s %d %d", result.Batch, result.Number, i+1),
		}
	}
	posted, err := w.shop.postKept(w.tx, moves)
	for i, m := range posted {
		result.Draws[i].Movement = m.ID
	}
	return err
}

// after looks at an order once a result was posted or undone: it may be whole, or want strings again that a finished batch did
// not bring.
func (w *poster) after(o order.Order, finished bool) error {
	whole, wires, err := w.shop.finishWhole(w.tx, w.person, o)
	if err == nil && !whole && finished && o.Open() {
		if err = w.makeBench(); err == nil {
			wires, err = need(w.tx, w.bench, o)
		}
	}
	for _, wire := range wires {
		w.touched[wire] = true
	}
	return err
}

func (w *poster) makeBench() (err error) {
	if w.bench == nil {
		w.bench, err = benchOf(w.tx)
	}
	return err
}

// posted reads a result back with its batch.
func (w *poster) posted(result batch.Result) (ResultPosted, error) {
	b, err := w.tx.Batch(result.Batch)
	return ResultPosted{Batch: b, Result: result}, err
}
