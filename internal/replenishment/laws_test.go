package replenishment

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

// anyShop invents a shop.
func anyShop(t *rapid.T) Input {
	rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
	in := Input{Today: today, Suppliers: slices.Clone(suppliers), Policy: catalog.DefaultBuying()}
	in.Suppliers[0].OrderMinimum = money.Minor(rng.IntN(400_00))
	in.Suppliers[1].OrderCost = money.Minor(rng.IntN(40_00))
	in.Suppliers[1].FreightPerKg = money.Minor(rng.IntN(2_00))
	in.Policy.LineCost = money.Minor(rng.IntN(5_00))
	in.Policy.CoverDays = 30 + rng.IntN(500)
	for i := range rapid.IntRange(1, 6).Draw(t, "wires") {
		code := material.WireCode(rune('A' + i))
		w := round(code, measure.Size(8+rng.IntN(20)), []string{"slow", "new", "", "gone"}[rng.IntN(4)])
		w.Pack = measure.Mass(rng.IntN(3)) * 250 * gram
		w.PricePerKg = money.Minor(rng.IntN(3) * 40_00)
		w.Minimum = measure.Mass(rng.IntN(2)) * 100 * gram
		in.Wires = append(in.Wires, w)
		for range rng.IntN(3) {
			s := spool(code, measure.Mass(rng.IntN(900))*gram)
			s.Allocated = s.Mass * measure.Mass(rng.IntN(3)) / 3
			in.Spools = append(in.Spools, s)
		}
		for range rng.IntN(120) {
			in.Usage = append(in.Usage, stock.Usage{On: today - calendar.Date(rng.IntN(900)) + 2, Wire: code, Mass: measure.Mass(rng.IntN(90)) * gram})
		}
		for range rng.IntN(4) {
			in.Receipts = append(in.Receipts, Receipt{fmt.Sprint("P-", rng.IntN(9)), code, today - 10 + calendar.Date(rng.IntN(90)), measure.Mass(rng.IntN(900)) * gram})
		}
		for range rng.IntN(8) {
			in.Booked = append(in.Booked, Need{order.Code(fmt.Sprint("O-", rng.IntN(9))), code, today - 5 + calendar.Date(rng.IntN(90)), measure.Mass(rng.IntN(90)) * gram})
		}
		if rng.IntN(2) == 0 {
			in.Gaps = append(in.Gaps, Gap{code, today - 300, today - 250})
		}
	}
	for range rng.IntN(40) {
		in.Notices = append(in.Notices, Notice{rng.IntN(40), measure.Mass(rng.IntN(40)) * gram})
		in.Deliveries = append(in.Deliveries, Delivery{"slow", today - 90, today - 70, today - 90 + calendar.Date(rng.IntN(40))})
	}
	return in
}

func shuffled[T any](rows []T) []T {
	out := slices.Clone(rows)
	rand.New(rand.NewPCG(1, 2)).Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}

func TestNightLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := anyShop(t)
		got := Night(in)
		if again := Night(in); !reflect.DeepEqual(got, again) {
			t.Fatal("the same facts, another answer")
		}
		mixed := in
		mixed.Wires, mixed.Spools, mixed.Receipts, mixed.Booked = shuffled(in.Wires), shuffled(in.Spools), shuffled(in.Receipts), shuffled(in.Booked)
		if other := Night(mixed); !reflect.DeepEqual(got.Purchases, other.Purchases) {
			t.Fatal("the order of the rows matters")
		}
		for _, n := range got.Wires {
			checkWire(t, in, n)
		}
		bought := map[material.WireCode]measure.Mass{}
		for _, p := range got.Purchases {
			var total money.Minor
			for _, l := range p.Lines {
				total += l.Cost
				bought[l.Wire] = l.Mass
			}
			i := slices.IndexFunc(in.Suppliers, func(s catalog.Supplier) bool { return s.Code == p.Supplier })
			if i < 0 || total != p.Goods() || p.BelowMinimum != (total < in.Suppliers[i].OrderMinimum) || len(p.Lines) == 0 || p.OrderBy > today {
				t.Fatalf("%+v", p)
			}
			checkMinimum(t, in, got.Wires, p)
		}
		for _, n := range got.Wires {
			if mass, ok := bought[n.Wire]; ok && mass != n.Suggest {
				t.Fatalf("%s: suggests %v, buys %v", n.Wire, n.Suggest, mass)
			}
		}
	})
}

// checkMinimum holds that a purchase meets the supplier's minimum or says why not, and that nothing was added to it that the shop would not use up.
func checkMinimum(t *rapid.T, in Input, wires []WireNight, p Purchase) {
	if p.BelowMinimum != (p.Note != "") {
		t.Fatalf("below the minimum %v, and says %q", p.BelowMinimum, p.Note)
	}
	packs := map[material.WireCode]int{}
	goods := p.Goods()
	for _, l := range p.Lines {
		packs[l.Wire] = l.Packs
		if p.BelowMinimum && l.Extra > 0 {
			t.Fatalf("it stays below the minimum, and still %+v", l)
		}
		w := wires[slices.IndexFunc(wires, func(w WireNight) bool { return w.Wire == l.Wire })]
		if l.Extra > l.Packs || l.Extra < 0 || (l.Why == TopUp) != (l.Extra == l.Packs) {
			t.Fatalf("%+v", l)
		}
		if added := l.Extra > 0 || l.Why != MustOrder; added && (w.Dead || w.Fading || w.WeeklyUsage == 0 || held(w)+l.Mass > cover(in, w)) {
			t.Fatalf("%+v brings %v over the cover of %v: %+v", l, held(w)+l.Mass, cover(in, w), w)
		}
	}
	for _, w := range wires {
		i := slices.IndexFunc(in.Wires, func(o Wire) bool { return o.Code == w.Wire })
		o := in.Wires[i]
		if !p.BelowMinimum || o.Supplier != p.Supplier || o.PricePerKg == 0 || w.Dead || w.Fading || w.WeeklyUsage == 0 {
			continue
		}
		pack := o.Pack
		if pack == 0 {
			pack = unknownPack
		}
		if more := int((cover(in, w)-held(w)-2*measure.Mass(in.Policy.CoverDays))/pack) - packs[w.Wire]; more > 0 {
			offer := Offer{Pack: pack, PricePerKg: o.PricePerKg}
			goods += offer.Cost(packs[w.Wire]+more) - offer.Cost(packs[w.Wire])
		}
	}
	if i := slices.IndexFunc(in.Suppliers, func(s catalog.Supplier) bool { return s.Code == p.Supplier }); p.BelowMinimum && goods >= in.Suppliers[i].OrderMinimum {
		t.Fatalf("below the minimum, though there is room for %d: %+v", goods, p)
	}
}

func held(w WireNight) measure.Mass { return w.OnHand - w.Allocated + w.OnOrder }

// cover is what the shop wants to hold, to the milligram that the weekly use was rounded by.
func cover(in Input, w WireNight) measure.Mass {
	return max(w.WeeklyUsage*measure.Mass(in.Policy.CoverDays)/7+measure.Mass(in.Policy.CoverDays), w.Booked)
}

// checkWire holds what is true of any wire's answer.
func checkWire(t *rapid.T, in Input, n WireNight) {
	if n.OrderPoint < 0 || n.Confidence < 0 || n.Confidence > in.Policy.Service || n.Why == "" {
		t.Fatalf("%+v", n)
	}
	if n.Available < n.OrderPoint && (n.Suggest < n.OrderPoint-n.Available || n.Alert.Rank() < Order.Rank()) {
		t.Fatalf("%s: short of %v, suggests %v, %s", n.Wire, n.OrderPoint-n.Available, n.Suggest, n.Alert)
	}
	soon, mean, late := n.RunOutSoon, n.RunOut, n.RunOutLate
	if !mean.IsZero() && (soon.IsZero() || soon > mean) {
		t.Fatalf("%s: soon %v after the expected %v (%s)", n.Wire, soon, mean, n.Method)
	}
	if !late.IsZero() && !soon.IsZero() && late < soon {
		t.Fatalf("%s: late %v before soon %v", n.Wire, late, soon)
	}
	for i, p := range n.Balance {
		if p.Low > p.High || i > 0 && p.On <= n.Balance[i-1].On {
			t.Fatalf("%s: %+v", n.Wire, n.Balance)
		}
	}
}

func TestMoreStockNeverRunsOutEarlier(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := anyShop(t)
		before := Night(in).Wires
		for _, w := range in.Wires {
			in.Spools = append(in.Spools, spool(w.Code, measure.Mass(rapid.IntRange(5, 500).Draw(t, "more"))*gram))
		}
		for i, n := range Night(in).Wires {
			for _, d := range [][2]calendar.Date{{before[i].RunOut, n.RunOut}, {before[i].RunOutSoon, n.RunOutSoon}, {before[i].RunOutLate, n.RunOutLate}} {
				if was, is := d[0], d[1]; !is.IsZero() && (was.IsZero() || is < was) {
					t.Fatalf("%s ran out %s, with more %s", n.Wire, was, is)
				}
			}
			if n.Alert.Rank() > before[i].Alert.Rank() {
				t.Fatalf("%s was %s, with more %s", n.Wire, before[i].Alert, n.Alert)
			}
		}
	})
}

// Orlicky's reconciliation: gross + allocated − on hand − receipts = net, where the plan ends at or below everything before.
func TestNettingReconciles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		onHand := measure.Mass(rapid.Int64Range(0, 300).Draw(t, "on hand"))
		allocated := measure.Mass(rapid.Int64Range(0, int64(onHand)).Draw(t, "allocated"))
		var needs []Need
		var receipts []Receipt
		var gross, due, net measure.Mass
		for i := range rapid.IntRange(0, 8).Draw(t, "needs") {
			m := measure.Mass(rapid.Int64Range(1, 90).Draw(t, "need"))
			gross += m
			needs = append(needs, Need{order.Code(fmt.Sprint(i)), "A", today + calendar.Date(rapid.IntRange(-3, 30).Draw(t, "on")), m})
		}
		for range rapid.IntRange(0, 3).Draw(t, "receipts") {
			m := measure.Mass(rapid.Int64Range(1, 90).Draw(t, "receipt"))
			r := Receipt{"P", "A", today + calendar.Date(rapid.IntRange(-3, 30).Draw(t, "due")), m}
			receipts = append(receipts, r)
			if r.DueOn >= today {
				due += m
			}
		}
		o := newOutlook(today, onHand, allocated, receipts, needs, Demand{Method: OwnMinimum}, ahead{})
		for _, f := range o.known.Net() {
			net += f.Mass
		}
		end := o.known.Balance(today + 40)
		if end != onHand-allocated+due-gross {
			t.Fatalf("ends at %v", end)
		}
		if end <= 0 && end == o.known.Promise(today) && net != gross+allocated-onHand-due {
			t.Fatalf("net %v, gross %v, allocated %v, on hand %v, receipts %v", net, gross, allocated, onHand, due)
		}
		for i, r := range receipts {
			if r.DueOn < today && !slices.Contains(o.overdue, receipts[i]) {
				t.Fatal("a receipt past due was moved")
			}
		}
	})
}
