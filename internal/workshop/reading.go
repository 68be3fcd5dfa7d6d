package workshop

import (
	"cmp"
	"maps"
	"slices"

	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/stock"
)

// reading is the ledger being read for the books of some months: rolled forward by the ledger's own costs, which is what the ledger
// sums to, and by the books' methods.
type reading struct {
	from, to costing.Period
	books    *costing.Roller
	held     map[material.WireCode]*costing.RollLine // the month that is being read, by the ledger's costs
	now      costing.Period
	ledger   []costing.Roll
}

func newReading(r Reader, from, to costing.Period) (*reading, error) {
	choice, err := choiceOf(r)
	if err != nil {
		return nil, err
	}
	reversed, err := r.Reversed()
	if err != nil {
		return nil, err
	}
	books := costing.NewRoller(from, to, choice)
	books.Ledger().Reversed(reversed)
	return &reading{from: from, to: to, books: books, held: map[material.WireCode]*costing.RollLine{}, now: from}, nil
}

// choiceOf gives the formula of each wire in each month: that of its alloy's family.
func choiceOf(r Reader) (costing.Choice, error) {
	methods, err := methodsOf(r)
	if err != nil {
		return nil, err
	}
	wires, err := r.Wires()
	if err != nil {
		return nil, err
	}
	family := make(map[material.WireCode]string, len(wires))
	for _, w := range wires {
		family[w.Code] = string(w.Alloy)
	}
	return methods.Choice(func(wire material.WireCode) string { return family[wire] }), nil
}

// post reads the next movement.
func (g *reading) post(l LedgerLine) (costing.Posted, error) {
	posted, err := g.books.Post(costing.EntryOf(l.Movement, l.Wire, l.Lot))
	if err != nil {
		return posted, err
	}
	for g.now < costing.PeriodOf(posted.On) {
		g.turn()
	}
	line := g.held[l.Wire]
	if line == nil {
		line = &costing.RollLine{Wire: l.Wire, Formula: costing.Specific}
		g.held[l.Wire] = line
	}
	q := costing.Quantity{Mass: l.Mass, Cost: l.Cost}
	line.Closing.Mass, line.Closing.Cost = line.Closing.Mass+q.Mass, line.Closing.Cost+q.Cost
	if posted.On < g.from.First() {
		line.Opening = line.Closing
		return posted, nil
	}
	switch posted.Column {
	case costing.Received:
		line.Received.Mass, line.Received.Cost = line.Received.Mass+q.Mass, line.Received.Cost+q.Cost
	case costing.Drawn:
		line.Drawn.Mass, line.Drawn.Cost = line.Drawn.Mass-q.Mass, line.Drawn.Cost-q.Cost
	case costing.Scrapped:
		line.Scrap.Mass, line.Scrap.Cost = line.Scrap.Mass-q.Mass, line.Scrap.Cost-q.Cost
	case costing.Difference:
		line.Difference.Mass, line.Difference.Cost = line.Difference.Mass+q.Mass, line.Difference.Cost+q.Cost
		if l.Kind == stock.CostUsed {
			line.Used -= q.Cost
		}
	}
	return posted, nil
}

// turn ends the month that is being read.
func (g *reading) turn() {
	roll := costing.Roll{From: g.now, To: g.now}
	for _, wire := range slices.SortedFunc(maps.Keys(g.held), cmp.Compare[material.WireCode]) {
		line := g.held[wire]
		if *line != (costing.RollLine{Wire: wire, Formula: costing.Specific}) {
			roll.Lines = append(roll.Lines, *line)
		}
		g.held[wire] = &costing.RollLine{Wire: wire, Formula: costing.Specific, Opening: line.Closing, Closing: line.Closing}
	}
	g.ledger, g.now = append(g.ledger, roll), g.now+1
}

// rolls ends the reading and gives the roll-forward of each month, by the ledger's costs and by the books' methods.
func (g *reading) rolls() (ledger, books []costing.Roll) {
	for g.now <= g.to {
		g.turn()
	}
	return g.ledger, g.books.Months()
}
