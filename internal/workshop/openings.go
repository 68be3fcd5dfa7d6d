package workshop

import (
	"maps"
	"slices"
	"sync"

	"windingroom/internal/costing"
	"windingroom/internal/stock"
)

// LedgerMark tells the movements of some days from any others: the ledger is only added to, so the same number of them up to the same
// highest one are the same movements.
type LedgerMark struct {
	Count   int
	Highest stock.MovementID
}

// openings remembers how wire stood under every formula when a month began, so that the books of a month need not read all before it
// again. It is only used while the movements before the month are those it was made of; whoever closes a month or verifies goes without.
type openings struct {
	mu   sync.Mutex
	kept []openingKept // the last used first
}

type openingKept struct {
	month    costing.Period
	before   LedgerMark // of the movements before the month
	reversed map[stock.MovementID]bool
	ledger   *costing.Ledger
}

// mostOpenings are kept: the month that closes next, the present one, and those that someone looks at.
const mostOpenings = 4

// find gives a ledger that has read all before the month, or nil.
func (o *openings) find(month costing.Period, before LedgerMark, reversed map[stock.MovementID]bool) *costing.Ledger {
	o.mu.Lock()
	defer o.mu.Unlock()
	i := slices.IndexFunc(o.kept, func(one openingKept) bool { return one.month == month && one.before == before && one.knows(reversed) })
	if i < 0 {
		return nil
	}
	found := o.kept[i]
	o.kept = slices.Insert(slices.Delete(o.kept, i, i+1), 0, found)
	return found.ledger.Clone()
}

// knows says whether the ledger remembers every movement before the month that is taken back.
func (o openingKept) knows(reversed map[stock.MovementID]bool) bool {
	for id := range reversed {
		if id <= o.before.Highest && !o.reversed[id] {
			return false
		}
	}
	return true
}

// keep remembers a ledger that has read all before the month.
func (o *openings) keep(month costing.Period, before LedgerMark, reversed map[stock.MovementID]bool, ledger *costing.Ledger) {
	one := openingKept{month, before, maps.Clone(reversed), ledger.Clone()}
	o.mu.Lock()
	defer o.mu.Unlock()
	o.kept = slices.DeleteFunc(o.kept, func(other openingKept) bool { return other.month == month })
	o.kept = slices.Insert(o.kept, 0, one)
	o.kept = o.kept[:min(len(o.kept), mostOpenings)]
}
