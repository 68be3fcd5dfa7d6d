package costing

import (
	"windingroom/internal/material"
	"windingroom/internal/stock"
)

// Roller makes the roll-forward of months that follow each other while it reads the ledger from its first entry on. It keeps the
// lines of those months and what Ledger keeps.
type Roller struct {
	ledger   *Ledger
	choice   Choice
	from, to Period
	now      Period // the month that is open
	lines    map[material.WireCode]*RollLine
	done     []Roll
}

// NewRoller gives a roller for the months from and to, both among them, in which each wire is valued by the formula that choice
// gives. Entries before from make its opening figures; those after to are left out.
func NewRoller(from, to Period, choice Choice) *Roller {
	return &Roller{ledger: NewLedger(), choice: choice, from: from, to: to, now: from - 1}
}

// Begin goes on from a ledger that has read every entry before the first month, in place of reading them. It comes before the first Post.
func (r *Roller) Begin(ledger *Ledger) { r.ledger = ledger }

// Post reads the next entry, in the order of Entry.Compare, and gives what it costs under each formula.
func (r *Roller) Post(e Entry) (Posted, error) {
	p := PeriodOf(e.On)
	if p > r.to {
		return Posted{Entry: e}, nil
	}
	for r.now < p {
		r.turn()
	}
	out, err := r.ledger.Post(e)
	if err != nil || p < r.from {
		return out, err
	}
	formula := r.choice(e.Wire, r.now)
	line := r.line(e.Wire)
	line.post(out, formula)
	return out, nil
}

// post puts a movement in its column.
func (l *RollLine) post(p Posted, f Formula) {
	q := Quantity{p.Mass, p.Costs.Of(f)}
	switch p.Column {
	case Received:
		l.Received = l.Received.plus(q)
	case Drawn:
		l.Drawn = l.Drawn.minus(q)
	case Scrapped:
		l.Scrap = l.Scrap.minus(q)
	case Difference:
		l.Difference = l.Difference.plus(q)
		if p.Kind == stock.CostUsed {
			l.Used -= q.Cost
		}
	}
	l.Revalued.Cost += p.Revalued.Of(f)
}

func (r *Roller) line(wire material.WireCode) *RollLine {
	l := r.lines[wire]
	if l == nil {
		l = &RollLine{Wire: wire, Formula: r.choice(wire, r.now)}
		r.lines[wire] = l
	}
	return l
}

// turn closes the open month and opens the next. The opening figure is the closing one of the month before, by the formula
// of that month; what another formula makes of it is revalued.
func (r *Roller) turn() {
	r.close()
	r.now++
	r.lines = map[material.WireCode]*RollLine{}
	for _, v := range r.ledger.Valuations() {
		l := r.line(v.Wire)
		l.Opening = Quantity{v.Mass, v.Value.Of(r.choice(v.Wire, r.now-1))}
		l.Revalued.Cost = v.Value.Of(l.Formula) - l.Opening.Cost
	}
}

func (r *Roller) close() {
	if r.now < r.from {
		return
	}
	roll := Roll{From: r.now, To: r.now}
	for _, v := range r.ledger.Valuations() {
		l := r.line(v.Wire)
		l.Closing = Quantity{v.Mass, v.Value.Of(l.Formula)}
		if !l.empty() {
			roll.Lines = append(roll.Lines, *l)
		}
	}
	r.done = append(r.done, roll)
}

// Ledger gives the valuations after the entries so far: those of the end of the last month, once all were read.
func (r *Roller) Ledger() *Ledger { return r.ledger }

// Months ends the reading and gives the roll-forward of each month.
func (r *Roller) Months() []Roll {
	for r.now < r.to {
		r.turn()
	}
	r.close()
	r.now, r.from = r.to, r.to+1 // a second call closes nothing twice
	return r.done
}
