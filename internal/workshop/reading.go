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
	choice   costing.Choice
	books    *costing.Roller
	held     map[material.WireCode]*costing.RollLine // the month that is being read, by the ledger's costs
	now      costing.Period
	ledger   []costing.Roll

	reversed map[stock.MovementID]bool
	openings *openings      // nil: everything is read
	seen     func(read int) // told every so often how many movements were read; may be nil
	read     int
	skipped  int // that an opening made needless to read
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
	return &reading{from: from, to: to, choice: choice, books: books, held: map[material.WireCode]*costing.RollLine{}, now: from, reversed: reversed}, nil
}

// choiceOf gives the formula of each wire in each month: that of its alloy's family, or the one that a closed month was closed with, whatever
// has become of the wire since.
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
	kept, err := methodsKept(r)
	if err != nil {
		return nil, err
	}
	present := methods.Choice(func(wire material.WireCode) string { return family[wire] })
	return func(wire material.WireCode, p costing.Period) costing.Formula {
		return cmp.Or(kept[p][wire], present(wire, p))
	}, nil
}

// methodsKept gives by which formula each wire was valued in the months that are closed.
func methodsKept(r Reader) (map[costing.Period]map[material.WireCode]costing.Formula, error) {
	closed, err := r.Periods()
	if err != nil {
		return nil, err
	}
	kept := make(map[costing.Period]map[material.WireCode]costing.Formula, len(closed))
	for _, p := range closed {
		figures, err := figuresKept(p)
		if err != nil {
			return nil, err
		}
		kept[p.Month] = make(map[material.WireCode]costing.Formula, len(figures.Lines))
		for _, l := range figures.Lines {
			kept[p.Month][l.Wire] = l.Method
		}
	}
	return kept, nil
}

// post reads the next movement.
func (g *reading) post(l LedgerLine) (costing.Posted, error) {
	const often = 1000
	if g.read++; g.read%often == 0 && g.seen != nil {
		g.seen(g.read)
	}
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

// months reads the ledger up to the end of the months: each movement of theirs goes to see, and after each month what was wound in it to
// work, costed by the standards it was closed with or, where it is open, by the present ones.
func (g *reading) months(r Reader, see func(LedgerLine, costing.Posted), work func(costing.Period, *monthWork, *standards) error) error {
	closed, err := r.Periods()
	if err != nil {
		return err
	}
	room, err := newStandardRoom(r)
	if err != nil {
		return err
	}
	if err := g.before(r); err != nil {
		return err
	}
	for month := g.from; month <= g.to; month++ {
		costs := newMonthCosts()
		err := r.Ledger(month.First(), month.Last(), func(l LedgerLine) error {
			p, err := g.post(l)
			if err == nil {
				costs.post(p, g.choice(p.Wire, month))
				see(l, p)
			}
			return err
		})
		if err != nil {
			return err
		}
		var kept Period
		if i := slices.IndexFunc(closed, func(p Period) bool { return p.Month == month }); i >= 0 {
			kept = closed[i]
		}
		std, err := standardsOf(kept, room)
		if err != nil {
			return err
		}
		w, err := workOf(r, month, costs, std)
		if err != nil {
			return err
		}
		if err := work(month, w, std); err != nil {
			return err
		}
	}
	return nil
}

// before reads what comes before the months, or takes how it left the wire from where that is kept.
func (g *reading) before(r Reader) error {
	until := g.from.First() - 1
	var mark LedgerMark
	if g.openings != nil {
		var err error
		if mark, err = r.LedgerMark(0, until); err != nil {
			return err
		}
		if ledger := g.openings.find(g.from, mark, g.reversed); ledger != nil {
			g.begin(ledger)
			g.skipped = mark.Count
			return nil
		}
	}
	err := r.Ledger(0, until, func(l LedgerLine) error { _, err := g.post(l); return err })
	if err == nil && g.openings != nil {
		g.openings.keep(g.from, mark, g.reversed, g.books.Ledger())
	}
	return err
}

// begin goes on from a ledger that has read what comes before.
func (g *reading) begin(ledger *costing.Ledger) {
	ledger.Reversed(g.reversed)
	g.books.Begin(ledger)
	for _, v := range ledger.Valuations() {
		q := costing.Quantity{Mass: v.Mass, Cost: v.Value.Specific}
		g.held[v.Wire] = &costing.RollLine{Wire: v.Wire, Formula: costing.Specific, Opening: q, Closing: q}
	}
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
