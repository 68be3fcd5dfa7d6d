package store_test

import (
	"errors"
	"maps"
	"slices"

	"pgregory.net/rapid"

	"windingroom/internal/batch"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/requirements"
	"windingroom/internal/workshop"
)

func (h *history) read(t *rapid.T, fn func(workshop.Reader) error) {
	if err := h.shop.Store.Read(h.ctx, fn); err != nil {
		t.Fatal(err)
	}
}

func (h *history) pick(t *rapid.T, want ...order.Status) order.Code {
	var codes []order.Code
	for code, s := range h.status {
		if slices.Contains(want, s) {
			codes = append(codes, code)
		}
	}
	if len(codes) == 0 {
		t.Skip("no such order")
	}
	slices.Sort(codes)
	return rapid.SampledFrom(codes).Draw(t, "order")
}

// count adds what a result gave, or with -1 takes it away.
func (h *history) count(r batch.Result, sign int) {
	for _, g := range r.Given {
		if g.Order == "" {
			h.surplus += sign * g.Strings
		} else {
			h.good[spot{g.Order, g.Line}] += sign * g.Strings
		}
	}
}

// has gives how many good strings an order has.
func (h *history) has(at spot) int { return h.good[at] + h.given[at] - h.lent[at] }

// countGiven reads what orders were given out of finished stock: strings of results that stand, which no open order owned.
func (h *history) countGiven(t *rapid.T) {
	h.given, h.lent = map[spot]int{}, map[spot]int{}
	h.read(t, func(r workshop.Reader) error {
		for code, results := range h.stands {
			for _, result := range results {
				given, err := r.GivenOf(code, result.Number)
				if err != nil {
					return err
				}
				for _, g := range given {
					from := result.Given[g.Part-1]
					h.given[spot{g.Order, g.Line}] += g.Strings
					h.lent[spot{from.Order, from.Line}] += g.Strings
					if from.Order != "" && h.status[from.Order] != order.Cancelled {
						t.Fatalf("order %s was given strings of order %s, which is %s", g.Order, from.Order, h.status[from.Order])
					}
				}
			}
		}
		return nil
	})
}

// usedFinished counts what was given just now, and looks that finished stock holds nothing that the order (without a code: any open
// order) still wants.
func (h *history) usedFinished(t *rapid.T, code order.Code) {
	h.countGiven(t)
	for of, s := range h.status {
		if (s == order.Confirmed || s == order.Planned) && h.whole(of) {
			h.status[of] = order.Wound
		}
	}
	h.read(t, func(r workshop.Reader) error {
		surplus, err := r.Surplus()
		if err != nil {
			return err
		}
		orders, err := r.Orders(workshop.OrderFilter{OpenOnly: true})
		if err != nil {
			return err
		}
		covered, err := r.Covered()
		for _, d := range requirements.Open(orders, covered) {
			for _, f := range surplus {
				if (code == "" || code == d.Order) && f.Recipe == d.Recipe && f.Scale == d.Scale {
					t.Fatalf("%+v is still to be wound beside %+v", d, f)
				}
			}
		}
		return err
	})
}

func (h *history) whole(code order.Code) bool {
	for _, position := range []int{1, 2} {
		if h.has(spot{code, position}) < h.ordered[spot{code, position}] {
			return false
		}
	}
	return true
}

func (h *history) undo(t *rapid.T) {
	var codes []batch.Code
	for code, results := range h.stands {
		if len(results) > 0 {
			codes = append(codes, code)
		}
	}
	if len(codes) == 0 {
		t.Skip("no result")
	}
	slices.Sort(codes)
	code := rapid.SampledFrom(codes).Draw(t, "batch")
	results := h.stands[code]
	last := results[len(results)-1]
	gone := false
	for _, g := range last.Given {
		gone = gone || h.status[g.Order] == order.Packed || h.status[g.Order] == order.Shipped
	}
	var given []batch.Given
	h.read(t, func(r workshop.Reader) (err error) {
		given, err = r.GivenOf(code, last.Number)
		return err
	})
	for _, g := range given {
		gone = gone || h.status[g.Order] == order.Packed || h.status[g.Order] == order.Shipped
	}
	_, err := h.shop.UndoResult(h.ctx, code, 0, "counted wrongly")
	if gone {
		if !errors.Is(err, workshop.ErrStage) {
			t.Fatalf("undone although strings are gone: %v", err)
		}
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	h.stands[code] = results[:len(results)-1]
	for spool, list := range h.events {
		h.events[spool] = slices.DeleteFunc(slices.Clone(list), func(e event) bool { return e.batch == code && e.result == last.Number })
	}
	h.count(last, -1)
	for _, g := range last.Given {
		if h.status[g.Order] == order.Wound {
			h.status[g.Order] = order.Planned
		}
	}
	h.countGiven(t)
	h.read(t, func(r workshop.Reader) error {
		for _, g := range given {
			served, err := r.Served(g.Order)
			if err != nil {
				return err
			}
			switch s := h.status[g.Order]; {
			case !served:
				h.status[g.Order] = order.Confirmed
			case s == order.Wound:
				h.status[g.Order] = order.Planned
			}
		}
		return nil
	})
}

func (h *history) handOver(t *rapid.T) {
	code := h.pick(t, order.Confirmed, order.Planned, order.Wound, order.Packed)
	act, to := h.shop.PackOrder, order.Packed
	if rapid.Bool().Draw(t, "ship") {
		act, to = h.shop.ShipOrder, order.Shipped
	}
	was := h.status[code]
	reason := rapid.SampledFrom([]string{"", "takes what there is"}).Draw(t, "reason")
	_, err := act(h.ctx, code, reason)
	short := was == order.Confirmed || was == order.Planned
	refused := short && (reason == "" || h.has(spot{code, 1})+h.has(spot{code, 2}) == 0)
	if refused != errors.Is(err, workshop.ErrStage) || (err != nil && !refused) {
		t.Fatalf("order %s is %s: %v", code, was, err)
	}
	if err == nil {
		h.status[code] = to
	}
}

// sound looks for every broken promise.
func (h *history) sound(t *rapid.T) {
	broken, err := h.db.ReaderIn(h.db.Raw()).Discrepancies()
	if err != nil || len(broken) > 0 {
		t.Fatalf("broken: %v, %v", broken, err)
	}
}

// check compares the books with the model, and now and then with themselves.
func (h *history) check(t *rapid.T) {
	if h.steps++; h.steps%3 == 0 {
		h.sound(t)
	}
	h.read(t, func(r workshop.Reader) error {
		spools, err := r.Spools()
		if err != nil {
			return err
		}
		room := map[material.WireCode]measure.Mass{}
		for _, s := range spools {
			room[s.Wire] += s.Drawable()
			if left := h.holds(s.Code, *h.now); s.Mass != left || s.Free() < 0 {
				t.Fatalf("spool %s holds %s with %s free, the model says %s", s.Code, s.Mass, s.Free(), left)
			}
		}
		held, err := r.Held(slices.Collect(maps.Keys(room))...)
		if err != nil {
			return err
		}
		for wire, mass := range room {
			if free := mass - held[wire].Mass; free < 0 || free > 0 && held[wire].Short > 0 {
				t.Fatalf("%s: %s may be drawn, orders hold %s and are short of %s", wire, mass, held[wire].Mass, held[wire].Short)
			}
		}
		return h.checkOrders(t, r)
	})
}

func (h *history) checkOrders(t *rapid.T, r workshop.Reader) error {
	surplus := h.surplus - h.lent[spot{}]
	for code, status := range h.status {
		o, err := r.Order(code)
		if err != nil {
			return err
		}
		if o.Status != status {
			t.Fatalf("order %s is %s, the model says %s", code, o.Status, status)
		}
		good, err := r.GoodStrings(code)
		if err != nil {
			return err
		}
		n := 0
		for _, g := range good {
			n += g.Strings
			if g.Strings != h.has(spot{code, g.Line}) {
				t.Fatalf("order %s line %d has %d good strings, the model says %d", code, g.Line, g.Strings, h.has(spot{code, g.Line}))
			}
		}
		if n != h.has(spot{code, 1})+h.has(spot{code, 2}) {
			t.Fatalf("order %s has %d good strings, the model says %d and %d", code, n, h.has(spot{code, 1}), h.has(spot{code, 2}))
		}
		if status == order.Cancelled {
			surplus += n
		}
	}
	finished, err := r.FinishedStock()
	for _, f := range finished {
		surplus -= f.Strings
	}
	if surplus != 0 {
		t.Fatalf("finished stock differs from the model by %d", surplus)
	}
	return err
}
