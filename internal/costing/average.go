package costing

import (
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// average is the moving average of one wire. Between two receipts what is left is worth its share of what was there after the
// first (cumulative rounding), so that it does not matter in how many parts wire is drawn.
type average struct {
	baseMass  measure.Mass // above zero once anything was received
	baseValue money.Minor
	mass      measure.Mass // below zero where wire was drawn before it came
	value     money.Minor
}

func (a *average) rebase() { a.baseMass, a.baseValue = a.mass, a.value }

// move takes mass or puts it on at the average as it is, which it leaves as it is.
func (a *average) move(mass measure.Mass) (cost money.Minor) {
	before := a.value
	a.mass += mass
	a.value = money.Remaining(a.baseValue, int64(a.mass), int64(a.baseMass))
	return a.value - before
}

// receive puts mass on at a cost. Where wire was short, what is left is worth the new price, and revalued is what the short wire
// cost beyond, or short of, what it was drawn at.
func (a *average) receive(mass measure.Mass, cost money.Minor) (revalued money.Minor) {
	if a.mass >= 0 {
		a.mass, a.value = a.mass+mass, a.value+cost
		a.rebase()
		return 0
	}
	before := a.value + cost
	a.mass += mass
	a.baseMass, a.baseValue = mass, cost
	a.value = money.Remaining(cost, int64(a.mass), int64(mass))
	return a.value - before
}

// add puts a cost on what is there, or as much of it as that can carry, and gives what it has put on.
func (a *average) add(cost money.Minor) (added money.Minor) {
	if a.mass <= 0 {
		return 0
	}
	added = max(cost, -a.value)
	a.value += added
	a.rebase()
	return added
}

// reverse takes back a movement at the cost it had. Where that cannot be, because nothing would be left to carry the rest or the
// rest would be worth less than nothing, the average as it is stands in for it.
func (a *average) reverse(mass measure.Mass, had money.Minor) (cost money.Minor) {
	left, value := a.mass+mass, a.value-had
	if a.mass < 0 || left <= 0 || value < 0 {
		return a.move(mass)
	}
	a.mass, a.value = left, value
	a.rebase()
	return -had
}
