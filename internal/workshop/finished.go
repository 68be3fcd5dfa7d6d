package workshop

import (
	"fmt"
	"slices"

	"windingroom/internal/batch"
	"windingroom/internal/catalog"
	"windingroom/internal/order"
	"windingroom/internal/requirements"
)

// fromFinished says what finished stock gives to demands, and what is then still to be wound.
func fromFinished(r Reader, demands []requirements.Demand) ([]batch.Given, []requirements.Demand, error) {
	surplus, err := r.Surplus()
	if err != nil {
		return nil, nil, err
	}
	given, rest := requirements.FromFinished(demands, surplus)
	return given, rest, nil
}

// giveFinished gives open orders what finished stock has of the strings of orders that were just confirmed, the earliest due
// first.
func (s *Shop) giveFinished(tx Tx, p Person, recipes []catalog.RecipeCode) error {
	surplus, err := tx.Surplus()
	if err != nil {
		return err
	}
	surplus = slices.DeleteFunc(surplus, func(f batch.Surplus) bool { return !slices.Contains(recipes, f.Recipe) })
	if len(surplus) == 0 {
		return nil
	}
	bench, demands, err := openDemand(tx)
	if err != nil {
		return err
	}
	given, _ := requirements.FromFinished(demands, surplus)
	return s.give(tx, p, bench, given)
}

// giveAsPlanned gives out of finished stock what a plan counted on, as far as it is still there and still wanted. What came in
// since waits for the next plan: this one winds for its strings.
func (s *Shop) giveAsPlanned(tx Tx, p Person, planned []batch.Given) error {
	if len(planned) == 0 {
		return nil
	}
	bench, demands, err := openDemand(tx)
	if err != nil {
		return err
	}
	now, _, err := fromFinished(tx, demands)
	if err != nil {
		return err
	}
	of := map[batch.Given]int{}
	for _, g := range planned {
		n := g.Strings
		g.Strings = 0
		of[g] = n
	}
	var given []batch.Given
	for _, g := range now {
		at := g
		at.Strings = 0
		if g.Strings = min(g.Strings, of[at]); g.Strings > 0 {
			given = append(given, g)
		}
	}
	return s.give(tx, p, bench, given)
}

// give gives finished strings to their orders, which may be whole by them, or else want less wire.
func (s *Shop) give(tx Tx, p Person, bench *requirements.Bench, given []batch.Given) error {
	if err := tx.GiveFinished(given); err != nil {
		return err
	}
	strings := map[order.Code]int{}
	for _, g := range given {
		strings[g.Order] += g.Strings
	}
	w := newPoster(s, tx, p)
	w.bench = bench
	for _, code := range sortedKeys(strings) {
		if err := tx.Record(s.audit(p, "give finished strings", string(code), fmt.Sprintf("%d strings", strings[code]))); err != nil {
			return err
		}
		o, err := tx.Order(code)
		if err != nil {
			return err
		}
		if err := w.after(o, true); err != nil {
			return err
		}
	}
	return w.settle()
}

// takeBackGiven takes from orders what they were given of the surplus of a result; they want it again. It is refused where such an
// order is packed or shipped.
func (w *poster) takeBackGiven(r batch.Result) error {
	given, err := w.tx.GivenOf(r.Batch, r.Number)
	if err != nil || len(given) == 0 {
		return err
	}
	if err := w.tx.ReturnFinishedOf(r.Batch, r.Number); err != nil {
		return err
	}
	if err := w.makeBench(); err != nil {
		return err
	}
	given = slices.CompactFunc(given, func(a, b batch.Given) bool { return a.Order == b.Order })
	for _, g := range given {
		if err := w.wantAgain(g.Order, r.Batch); err != nil {
			return err
		}
	}
	return nil
}

// wantAgain opens an order that lost strings of a batch, and notes what wire it needs for them.
func (w *poster) wantAgain(code order.Code, lost batch.Code) error {
	o, err := w.tx.Order(code)
	if err != nil {
		return err
	}
	if err := w.lose(o, lost); err != nil {
		return err
	}
	if err := unplan(w.tx, code); err != nil {
		return err
	}
	if o, err = w.tx.Order(code); err != nil {
		return err
	}
	wires, err := need(w.tx, w.bench, o)
	for _, wire := range wires {
		w.touched[wire] = true
	}
	return err
}
