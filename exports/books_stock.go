package exports

import (
	"time"

	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/money"
	"windingroom/internal/workshop"
)

const (
	asInstant = "yyyy-mm-dd hh:mm"
	asDay     = "yyyy-mm-dd"
)

// ledgerBook lays out books.
type ledgerBook struct{ *workshop.Books }

func (b ledgerBook) cash(m money.Minor) any { return cash{b.Currency, m} }

// unlessNone leaves a cell empty where there is no amount.
func (b ledgerBook) unlessNone(m money.Minor) any {
	if m == 0 {
		return nil
	}
	return b.cash(m)
}

func (b ledgerBook) money() string { return asMoney(b.Currency) }

func (b ledgerBook) alloy(wire material.WireCode) string { return string(b.Wires[wire].Alloy) }

// quantities are the columns of a roll-forward, as the contract names them.
var quantities = []struct {
	name string
	of   func(costing.RollLine) costing.Quantity
}{
	{"opening", func(l costing.RollLine) costing.Quantity { return l.Opening }},
	{"received", func(l costing.RollLine) costing.Quantity { return l.Received }},
	{"drawn", func(l costing.RollLine) costing.Quantity { return l.Drawn }},
	{"scrap", func(l costing.RollLine) costing.Quantity { return l.Scrap }},
	{"difference", func(l costing.RollLine) costing.Quantity { return l.Difference }},
	{"closing", func(l costing.RollLine) costing.Quantity { return l.Closing }},
}

func (b ledgerBook) rollColumns(first column[costing.RollLine]) []column[costing.RollLine] {
	columns := []column[costing.RollLine]{first}
	for _, q := range quantities {
		columns = append(columns, column[costing.RollLine]{q.name + "_g", asGrams, func(l costing.RollLine) any { return inGrams(q.of(l).Mass) }})
	}
	for _, q := range quantities {
		columns = append(columns, column[costing.RollLine]{q.name + "_cost", b.money(), func(l costing.RollLine) any { return b.cash(q.of(l).Cost) }})
	}
	return append(columns, b.lateCost())
}

// lateCost is the part of difference_cost that no weighing or count found: late cost of wire that was gone. Below zero where it was dearer.
func (b ledgerBook) lateCost() column[costing.RollLine] {
	return column[costing.RollLine]{"of_it_late_cost", b.money(), func(l costing.RollLine) any { return b.cash(-l.Used) }}
}

func (b ledgerBook) wire() column[costing.RollLine] {
	return column[costing.RollLine]{"wire", asText, func(l costing.RollLine) any { return string(l.Wire) }}
}

const rollNote = "opening + received - drawn - scrap + difference = closing, at the cost of each lot; of_it_late_cost: of the difference, late cost of wire that was gone"

func (b ledgerBook) rollForward() bookTable {
	columns := b.rollColumns(b.wire())
	t := tableOf("Roll-forward", "Roll-forward by wire", columns, b.Roll.Lines)
	total := b.Roll.Total()
	total.Wire = "total"
	t.total, t.note = valuesOf(columns, total), rollNote
	return t
}

// months is the roll-forward of all wires month by month.
func (b ledgerBook) months() bookTable {
	type month struct {
		name string
		costing.RollLine
	}
	rows := make([]month, len(b.Months))
	for i, m := range b.Months {
		rows[i] = month{m.From.String(), m.Total()}
	}
	columns := []column[month]{{"month", asText, func(m month) any { return m.name }}}
	for _, c := range b.rollColumns(b.wire())[1:] {
		columns = append(columns, column[month]{c.header, c.format, func(m month) any { return c.value(m.RollLine) }})
	}
	t := tableOf("Months", "Roll-forward by month", columns, rows)
	t.total, t.note = valuesOf(columns, month{"total", b.Roll.Total()}), rollNote
	return t
}

// byMethod is the roll-forward in money by the books' methods.
func (b ledgerBook) byMethod() bookTable {
	columns := []column[costing.RollLine]{b.wire(),
		{"alloy", asText, func(l costing.RollLine) any { return b.alloy(l.Wire) }},
		{"method", asText, func(l costing.RollLine) any { return string(l.Formula) }}}
	for _, q := range quantities[:5] {
		columns = append(columns, column[costing.RollLine]{q.name + "_cost", b.money(), func(l costing.RollLine) any { return b.cash(q.of(l).Cost) }})
	}
	columns = append(columns, column[costing.RollLine]{"revalued_cost", b.money(), func(l costing.RollLine) any { return b.cash(l.Revalued.Cost) }},
		column[costing.RollLine]{"closing_cost", b.money(), func(l costing.RollLine) any { return b.cash(l.Closing.Cost) }}, b.lateCost())
	t := tableOf("By method", "Roll-forward by the books' methods", columns, b.ByMethod.Lines)
	total := b.ByMethod.Total()
	total.Wire = "total"
	t.total = valuesOf(columns, total)
	t.total[1], t.total[2] = "", ""
	t.note = "revalued: a change of method, and wire that was drawn before its cost was known; of_it_late_cost: of the difference, late cost of wire that was gone"
	return t
}

func (b ledgerBook) valuation() bookTable {
	type row = costing.Valuation
	columns := []column[row]{
		{"wire", asText, func(v row) any { return string(v.Wire) }},
		{"mass_g", asGrams, func(v row) any { return inGrams(v.Mass) }},
		{"specific", b.money(), func(v row) any { return b.cash(v.Value.Specific) }},
		{"fifo", b.money(), func(v row) any { return b.cash(v.Value.FIFO) }},
		{"moving_average", b.money(), func(v row) any { return b.cash(v.Value.MovingAverage) }},
		{"alloy", asText, func(v row) any { return b.alloy(v.Wire) }},
	}
	t := tableOf("Valuation", "Wire on hand on "+b.To.Last().String(), columns, b.Valuations)
	total := row{Wire: "total"}
	for _, v := range b.Valuations {
		total.Mass, total.Value = total.Mass+v.Mass, total.Value.Plus(v.Value)
	}
	t.total, t.note = valuesOf(columns, total), "the method of each alloy stands in the sheet By method"
	return t
}

func (b ledgerBook) movements() bookTable {
	type row = workshop.LedgerLine
	columns := []column[row]{
		{"date", asDay, func(l row) any { return l.EffectiveOn }},
		{"movement", asCount, func(l row) any { return int(l.ID) }},
		{"wire", asText, func(l row) any { return string(l.Wire) }},
		{"spool", asText, func(l row) any { return string(l.Spool) }},
		{"lot", asText, func(l row) any { return l.Lot }},
		{"kind", asText, func(l row) any { return string(l.Kind) }},
		{"mass_g", asGrams, func(l row) any { return inGrams(l.Mass) }},
		{"cost", b.money(), func(l row) any { return b.cash(l.Cost) }},
		{"reverses", asCount, func(l row) any {
			if l.Reverses == 0 {
				return nil
			}
			return int(l.Reverses)
		}},
		{"source", asText, func(l row) any { return l.Source }},
		{"person", asText, func(l row) any { return l.Person }},
		{"reason", asText, func(l row) any { return l.Reason }},
		{"posted_at", asInstant, func(l row) any { return l.PostedAt.Truncate(time.Second) }},
	}
	t := bookTable{name: "Movements", title: "Movements of the ledger", heads: headsOf(columns), note: "in the order they took effect; posted_at is UTC"}
	for c, chars := range map[int]int{2: 14, 3: 8, 4: 12, 5: 20, 9: 20, 10: 12, 11: 30, 12: 16} {
		t.heads[c].width = chars
	}
	t.rows = func(do func([]any) error) error {
		return b.Movements(func(l row) error { return do(valuesOf(columns, l)) })
	}
	return t
}

func (b ledgerBook) byAge() bookTable {
	type row = workshop.HeldSpool
	columns := []column[row]{
		{"age", asText, func(s row) any { return ageOf(s.Days) }},
		{"days", asCount, func(s row) any { return s.Days }},
		{"received_on", asDay, func(s row) any { return s.ReceivedOn }},
		{"wire", asText, func(s row) any { return string(s.Wire) }},
		{"spool", asText, func(s row) any { return string(s.Code) }},
		{"lot", asText, func(s row) any { return s.Lot }},
		{"mass_g", asGrams, func(s row) any { return inGrams(s.Mass) }},
		{"cost", b.money(), func(s row) any { return b.cash(s.Value) }},
		{"location", asText, func(s row) any { return s.Location }},
	}
	t := tableOf("Stock by age", "Wire on hand by age", columns, b.Held)
	t.note = "days from receipt to " + b.To.Last().String()
	return t
}

// ageOf names the part of a year that wire has been there.
func ageOf(days int) string {
	switch {
	case days > 365:
		return "over a year"
	case days > 180:
		return "181 to 365 days"
	case days > 90:
		return "91 to 180 days"
	}
	return "up to 90 days"
}

func (b ledgerBook) slow() bookTable {
	type row = workshop.SlowWire
	columns := []column[row]{
		{"wire", asText, func(s row) any { return string(s.Wire) }},
		{"alloy", asText, func(s row) any { return b.alloy(s.Wire) }},
		{"mass_g", asGrams, func(s row) any { return inGrams(s.Held.Mass) }},
		{"cost", b.money(), func(s row) any { return b.cash(s.Held.Cost) }},
		{"last_drawn_on", asDay, func(s row) any { return s.LastDrawn }},
		{"days", asCount, func(s row) any { return s.Days }},
	}
	t := tableOf("Slow stock", "Wire that nothing was drawn of for half a year", columns, b.Slow)
	t.note = "days since the last draw; since the oldest spool came where nothing was ever drawn"
	return t
}

func (b ledgerBook) remnants() bookTable {
	type row = workshop.HeldSpool
	var rows []row
	for _, s := range b.Held {
		if s.Mass < s.UsableEnd {
			rows = append(rows, s)
		}
	}
	columns := []column[row]{
		{"spool", asText, func(s row) any { return string(s.Code) }},
		{"wire", asText, func(s row) any { return string(s.Wire) }},
		{"lot", asText, func(s row) any { return s.Lot }},
		{"mass_g", asGrams, func(s row) any { return inGrams(s.Mass) }},
		{"usable_end_g", asGrams, func(s row) any { return inGrams(s.UsableEnd) }},
		{"cost", b.money(), func(s row) any { return b.cash(s.Value) }},
		{"location", asText, func(s row) any { return s.Location }},
	}
	t := tableOf("Remnants", "Spools below their usable end", columns, rows)
	t.note = "worth writing off, or selling as scrap"
	return t
}
