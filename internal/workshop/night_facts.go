package workshop

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/replenishment"
	"windingroom/internal/requirements"
)

// daysBack is how many days of use, results and deliveries a night looks at: three years.
const daysBack = 3 * 366

// nightInput gathers one consistent picture of the shop for the nightly check.
func nightInput(r Reader, date calendar.Date) (in replenishment.Input, err error) {
	in.Today = date
	practice, err := r.Practice()
	if err != nil {
		return in, err
	}
	in.Policy, in.Currency = practice.Buying, practice.Currency
	bench, demands, err := openDemand(r)
	if err != nil {
		return in, err
	}
	if in.Wires, err = wiresToWatch(r, bench); err != nil {
		return in, err
	}
	if in.Suppliers, err = r.Suppliers(); err != nil {
		return in, err
	}
	if in.Spools, err = r.Spools(); err != nil {
		return in, err
	}
	if in.Receipts, err = coming(r); err != nil {
		return in, err
	}
	proposed, err := r.Batches(BatchFilter{Status: batch.Proposed})
	if err != nil {
		return in, err
	}
	if in.Booked, err = bookedNeeds(bench, onPlannedDays(demands, proposed, date)); err != nil {
		return in, err
	}
	if in.Usage, err = r.Used(date-daysBack, date-1); err != nil {
		return in, err
	}
	changes, err := r.Changes()
	if err != nil {
		return in, err
	}
	in.Gaps = gaps(changes, in.Wires, date)
	if in.Notices, err = r.Bookings(date - daysBack); err != nil {
		return in, err
	}
	if in.Deliveries, err = deliveries(r); err != nil {
		return in, err
	}
	before, err := r.LastNight(date - 1)
	if err != nil && !errors.Is(err, ErrNotFound) {
		return in, err
	}
	in.Yesterday = before.Wires
	return in, nil
}

// wiresToWatch gives the wires with the shop's minimum, the largest batch that stands in for it, and the supplier's price breaks.
func wiresToWatch(r Reader, bench *requirements.Bench) ([]replenishment.Wire, error) {
	wires, err := r.Wires()
	if err != nil {
		return nil, err
	}
	minimums, err := r.Minimums()
	if err != nil {
		return nil, err
	}
	breaks, err := r.Breaks()
	if err != nil {
		return nil, err
	}
	largest, err := largestBatches(r, bench)
	if err != nil {
		return nil, err
	}
	watched := make([]replenishment.Wire, len(wires))
	for i, w := range wires {
		watched[i] = replenishment.Wire{Wire: w, Minimum: minimums[w.Code], LargestBatch: largest[w.Code], Breaks: breaks[w.Code]}
	}
	return watched, nil
}

// largestBatches gives for each wire what it takes to wind, of one standing set, as many as an order ever asked for at once (one where none
// did), taking the set for which that is most.
func largestBatches(r Reader, bench *requirements.Bench) (map[material.WireCode]measure.Mass, error) {
	sets, err := r.Sets()
	if err != nil {
		return nil, err
	}
	quantities, err := r.SetQuantities()
	if err != nil {
		return nil, err
	}
	largest := map[material.WireCode]measure.Mass{}
	for _, set := range sets {
		needs, err := bench.Explode(stringsOf(set, max(quantities[set.Code], 1)))
		if err != nil {
			return nil, fmt.Errorf("set %s: %w", set.Code, err)
		}
		for _, n := range needs {
			largest[n.Wire] = max(largest[n.Wire], n.Mass)
		}
	}
	return largest, nil
}

func stringsOf(set catalog.Set, quantity int) []requirements.Demand {
	demands := make([]requirements.Demand, len(set.Positions))
	for i, p := range set.Positions {
		demands[i] = requirements.Demand{Line: 1, Position: p.Number, Recipe: p.Recipe, Scale: p.Scale, Strings: quantity}
	}
	return demands
}

// coming gives what is still to come of purchases that were sent.
func coming(r Reader) ([]replenishment.Receipt, error) {
	scheduled, err := r.ScheduledReceipts()
	receipts := make([]replenishment.Receipt, len(scheduled))
	for i, s := range scheduled {
		receipts[i] = replenishment.Receipt{Purchase: string(s.Purchase), Wire: s.Wire, DueOn: s.On, Mass: s.Mass}
	}
	return receipts, err
}

// onPlannedDays gives strings that a proposal of a day to come winds that day for theirs; all others keep the day their order is due, the last
// on which they can be wound.
func onPlannedDays(demands []requirements.Demand, proposed []batch.Batch, today calendar.Date) []requirements.Demand {
	type place struct {
		order          order.Code
		line, position int
	}
	type part struct {
		on      calendar.Date
		strings int
	}
	parts := map[place][]part{}
	for _, b := range proposed { // by date
		for _, sv := range b.Serves {
			if at := (place{sv.Order, sv.Line, sv.Position}); b.Date >= today {
				parts[at] = append(parts[at], part{b.Date, sv.Strings})
			}
		}
	}
	var planned []requirements.Demand
	for _, d := range demands {
		for _, p := range parts[place{d.Order, d.Line, d.Position}] {
			early := d
			early.DueOn, early.Strings = min(d.DueOn, p.on), min(d.Strings, p.strings)
			if d.Strings -= early.Strings; early.Strings > 0 {
				planned = append(planned, early)
			}
		}
		if d.Strings > 0 {
			planned = append(planned, d)
		}
	}
	slices.SortFunc(planned, requirements.Compare)
	return planned
}

// bookedNeeds gives the wire of open strings by order and day. What released batches will draw is allocated on their spools and not in it;
// demands come sorted.
func bookedNeeds(bench *requirements.Bench, demands []requirements.Demand) ([]replenishment.Need, error) {
	var needs []replenishment.Need
	for len(demands) > 0 {
		first := demands[0]
		n := slices.IndexFunc(demands, func(d requirements.Demand) bool { return d.Order != first.Order || d.DueOn != first.DueOn })
		if n < 0 {
			n = len(demands)
		}
		wires, err := bench.Explode(demands[:n])
		if err != nil {
			return nil, fmt.Errorf("order %s: %w", first.Order, err)
		}
		for _, w := range wires {
			needs = append(needs, replenishment.Need{Order: first.Order, Wire: w.Wire, On: first.DueOn, Mass: w.Mass})
		}
		demands = demands[n:]
	}
	return needs, nil
}

// gaps gives the days on which a wire was out of stock: from the day on which what had been there fell below its usable end to the day before it
// was there again. A wire that was never there was not out of stock; its use was noted elsewhere.
func gaps(changes []WireChange, wires []replenishment.Wire, today calendar.Date) []replenishment.Gap {
	usable := make(map[material.WireCode]measure.Mass, len(wires))
	for _, w := range wires {
		usable[w.Code] = max(w.UsableEnd, 1)
	}
	var found []replenishment.Gap
	var out *replenishment.Gap // the stretch that is being followed
	var have measure.Mass
	end := func(to calendar.Date) {
		if out != nil && out.From <= to {
			out.To = to
			found = append(found, *out)
		}
		out = nil
	}
	for i, c := range changes {
		if i == 0 || changes[i-1].Wire != c.Wire {
			end(today - 1)
			have = 0
		}
		was := have
		have += c.Mass
		switch least := usable[c.Wire]; {
		case was >= least && have < least:
			out = &replenishment.Gap{Wire: c.Wire, From: c.On + 1}
		case have >= least:
			end(c.On - 1)
		}
	}
	end(today - 1)
	return found
}

// deliveries gives what came of purchases, one for each day on which something did: from these, lead times are learned.
func deliveries(r Reader) ([]replenishment.Delivery, error) {
	purchases, err := r.Purchases(PurchaseFilter{})
	if err != nil {
		return nil, err
	}
	var all []replenishment.Delivery
	for _, p := range purchases {
		var last calendar.Date
		for _, receipt := range p.Receipts {
			if receipt.ReceivedOn != last {
				last = receipt.ReceivedOn
				all = append(all, replenishment.Delivery{Supplier: p.Supplier, OrderedOn: p.OrderedOn, PromisedOn: p.PromisedOn, ReceivedOn: last})
			}
		}
	}
	return all, nil
}

// wireNamed finds a wire's code as the shop spells it; ErrNotFound without one.
func wireNamed(r Reader, code material.WireCode) (material.WireCode, error) {
	w, err := wireOf(r, code)
	return w.Code, err
}

func wireOf(r Reader, code material.WireCode) (material.Wire, error) {
	wires, err := r.Wires()
	if err != nil {
		return material.Wire{}, err
	}
	for _, w := range wires {
		if strings.EqualFold(string(w.Code), string(code)) {
			return w, nil
		}
	}
	return material.Wire{}, fmt.Errorf("wire %s: %w", code, ErrNotFound)
}
