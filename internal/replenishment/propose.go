package replenishment

import (
	"cmp"
	"maps"
	"slices"

	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// Night is the nightly check: what each wire asks for, and what to order from each supplier. It is the same for the same input, in whatever
// order its rows come.
func Night(in Input) Result {
	checks := newChecks(in)
	for _, c := range checks {
		c.run()
	}
	result := Result{Purchases: purchases(checks, in.Currency)}
	yesterday := make(map[material.WireCode]*WireNight, len(in.Yesterday))
	for i := range in.Yesterday {
		yesterday[in.Yesterday[i].Wire] = &in.Yesterday[i]
	}
	for _, c := range checks {
		if before := yesterday[c.night.Wire]; before != nil {
			c.night.Changed = changed(before, &c.night)
		}
		result.Wires = append(result.Wires, c.night)
	}
	return result
}

// purchases orders what must be, supplier by supplier. A wire without a supplier is only told how much.
func purchases(checks []*check, currency money.Currency) []Purchase {
	bySupplier := map[string][]*check{}
	for _, c := range checks {
		bySupplier[c.supplier.Code] = append(bySupplier[c.supplier.Code], c)
	}
	var all []Purchase
	for _, code := range slices.Sorted(maps.Keys(bySupplier)) {
		if p, must := buy(bySupplier[code], currency); must && code != "" {
			all = append(all, p)
		}
	}
	return all
}

// newChecks sorts the facts by wire.
func newChecks(in Input) []*check {
	wires := slices.Clone(in.Wires)
	slices.SortFunc(wires, func(a, b Wire) int { return cmp.Compare(a.Code, b.Code) })
	codes := make([]material.WireCode, len(wires))
	for i, w := range wires {
		codes[i] = w.Code
	}
	histories := Histories(in.Today, codes, in.Usage, in.Gaps)
	families := familySizes(wires, histories)
	leads := LeadTimes(in.Suppliers, in.Deliveries)
	suppliers := make(map[string]catalog.Supplier, len(in.Suppliers))
	for _, s := range in.Suppliers {
		suppliers[s.Code] = s
	}
	receipts := by(in.Receipts, func(r Receipt) material.WireCode { return r.Wire })
	needs := by(in.Booked, func(n Need) material.WireCode { return n.Wire })
	spools := by(in.Spools, func(b stock.Balance) material.WireCode { return b.Wire })
	notice := noticeFrom(in.Notices, horizon)

	checks := make([]*check, len(wires))
	for i := range wires {
		w := &wires[i]
		c := &check{today: in.Today, policy: in.Policy, wire: w, history: histories[i]}
		c.night.Wire = w.Code
		c.night.OnHand, c.night.Allocated = shelf(spools[w.Code])
		for _, r := range receipts[w.Code] {
			c.night.OnOrder += r.Mass
		}
		for _, n := range needs[w.Code] {
			c.night.Booked += n.Mass
		}
		c.buyFrom(suppliers, leads)
		minimum := cmp.Or(w.Minimum, w.LargestBatch)
		c.family = families.of(w)
		demand := DemandOf(c.history, c.family, float64(minimum))
		c.outlook = newOutlook(in.Today, c.night.OnHand, c.night.Allocated, receipts[w.Code], needs[w.Code], demand, notice)
		checks[i] = c
	}
	return checks
}

func by[T any](rows []T, key func(T) material.WireCode) map[material.WireCode][]T {
	sorted := map[material.WireCode][]T{}
	for _, r := range rows {
		sorted[key(r)] = append(sorted[key(r)], r)
	}
	return sorted
}

// shelf adds up what may be drawn: a remnant or a quarantined spool is not there.
func shelf(spools []stock.Balance) (onHand, allocated measure.Mass) {
	for _, s := range spools {
		if !s.Remnant() && s.State != stock.Quarantined {
			onHand += s.Mass
			allocated += s.Allocated
		}
	}
	return onHand, allocated
}

// defaultLead is taken where no supplier is known at all (judgement).
var defaultLead = LeadTime{Days: 28, SD: 7}

// buyFrom finds the wire's supplier and its lead time. Where it names none, the slowest is reckoned with.
func (c *check) buyFrom(suppliers map[string]catalog.Supplier, leads map[string]LeadTime) {
	s, ok := suppliers[c.wire.Supplier]
	if ok {
		c.supplier, c.lead = s, leads[s.Code]
		return
	}
	c.guess, c.lead = true, defaultLead
	for _, code := range slices.Sorted(maps.Keys(leads)) {
		if l := leads[code]; c.slowest == "" || l.Days > c.lead.Days {
			c.lead, c.slowest = l, code
		}
	}
}
