package exports

import (
	"time"

	"windingroom/internal/costing"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

func (b ledgerBook) purchases() bookTable {
	type row = workshop.PurchaseLine
	received := func(p row, m money.Minor) any {
		if p.Kind != stock.Receipt || p.Expected < 0 {
			return nil
		}
		return b.cash(m)
	}
	columns := []column[row]{
		{"date", asDay, func(p row) any { return p.EffectiveOn }},
		{"kind", asText, func(p row) any { return string(p.Kind) }},
		{"supplier", asText, func(p row) any { return p.Supplier }},
		{"purchase", asText, func(p row) any { return string(p.Purchase) }},
		{"wire", asText, func(p row) any { return string(p.Wire) }},
		{"spool", asText, func(p row) any { return string(p.Spool) }},
		{"lot", asText, func(p row) any { return p.Lot }},
		{"mass_g", asGrams, func(p row) any { return inGrams(p.Mass) }},
		{"cost", b.money(), func(p row) any { return b.cash(p.Cost) }},
		{"freight", b.money(), func(p row) any { return received(p, p.Cost-p.WireCost) }},
		{"ordered_cost", b.money(), func(p row) any { return received(p, p.Expected) }},
		{"price_difference", b.money(), func(p row) any { return received(p, p.WireCost-p.Expected) }},
		{"movement", asCount, func(p row) any { return int(p.ID) }},
	}
	t := tableOf("Purchases", "Wire received and returned", columns, b.Books.Purchases)
	var total costing.Quantity
	for _, p := range b.Books.Purchases {
		total.Mass, total.Cost = total.Mass+p.Mass, total.Cost+p.Cost
	}
	t.total = make([]any, len(columns))
	t.total[0], t.total[7], t.total[8] = "total", inGrams(total.Mass), b.cash(total.Cost)
	t.note = "cost includes the share of the freight; price_difference is what the receipt cost beyond the ordered price; a cost difference is what the invoice asks beyond the receipt"
	return t
}

func (b ledgerBook) notInvoiced() bookTable {
	type row = workshop.NotInvoiced
	columns := []column[row]{
		{"purchase", asText, func(n row) any { return string(n.Purchase) }},
		{"supplier", asText, func(n row) any { return n.Supplier }},
		{"last_received_on", asDay, func(n row) any { return n.LastOn }},
		{"mass_g", asGrams, func(n row) any { return inGrams(n.Mass) }},
		{"received", b.money(), func(n row) any { return b.cash(n.Received) }},
		{"invoiced", b.money(), func(n row) any { return b.cash(n.Invoiced) }},
		{"not_invoiced", b.money(), func(n row) any { return b.cash(n.Received - n.Invoiced) }},
	}
	t := tableOf("Received not invoiced", "Purchases received and not invoiced", columns, b.Unmatched)
	total := row{Purchase: "total"}
	for _, n := range b.Unmatched {
		total.Mass, total.Received, total.Invoiced = total.Mass+n.Mass, total.Received+n.Received, total.Invoiced+n.Invoiced
	}
	t.total, t.note = valuesOf(columns, total), "as of "+b.To.Last().String()+"; below zero: invoiced beyond what came"
	return t
}

func (b ledgerBook) orderCost() bookTable {
	type row = workshop.OrderCost
	of := func(o row, n int) any {
		if o.Order == "" {
			return nil
		}
		return n
	}
	columns := []column[row]{
		{"order", asText, func(o row) any {
			switch {
			case o.Beyond:
				return "(scrap beyond the expected)"
			case o.Earlier:
				return "(usage of strings made before)"
			case o.Order == "":
				return "(finished stock)"
			}
			return string(o.Order)
		}},
		{"line", asCount, func(o row) any { return of(o, o.Line) }},
		{"position", asCount, func(o row) any { return of(o, o.Position) }},
		{"recipe", asText, func(o row) any { return string(o.Recipe) }},
		{"scale_in", asInches, func(o row) any { return decimal(o.Scale.InchText()) }},
		{"strings", asCount, func(o row) any { return o.Strings }},
		{"wire", b.money(), func(o row) any { return b.cash(o.Wire) }},
		{"scrap", b.money(), func(o row) any { return b.cash(o.NormalScrap) }},
		{"minutes", asTenth, func(o row) any { return o.Time }},
		{"labour", b.money(), func(o row) any { return b.cash(o.Labour) }},
		{"total", b.money(), func(o row) any { return b.cash(o.Total()) }},
		{"standard", b.money(), func(o row) any { return b.cash(o.Standard) }},
		{"difference", b.money(), func(o row) any { return b.cash(o.Total() - o.Standard) }},
	}
	t := tableOf("Order cost", "What orders cost", columns, b.Orders)
	var total costing.StringCost
	var standard money.Minor
	var worked time.Duration
	for _, o := range b.Orders {
		total.Strings += o.Strings
		total.Wire, total.NormalScrap, total.Labour = total.Wire+o.Wire, total.NormalScrap+o.NormalScrap, total.Labour+o.Labour
		standard, worked = standard+o.Standard, worked+o.Time
	}
	t.total = []any{"total", nil, nil, "", nil, total.Strings, b.cash(total.Wire), b.cash(total.NormalScrap), worked, b.cash(total.Labour), b.cash(total.Total()),
		b.cash(standard), b.cash(total.Total() - standard)}
	t.note = "scrap is the expected scrap that the good strings bear; labour at " + b.Currency.Text(b.PerHour) + " an hour"
	return t
}

func (b ledgerBook) variance() bookTable {
	type row = costing.Variance
	columns := []column[row]{
		{"kind", asText, func(v row) any { return string(v.Kind) }},
		{"batch", asText, func(v row) any { return v.Batch }},
		{"recipe", asText, func(v row) any { return v.Recipe }},
		{"machine", asText, func(v row) any { return v.Machine }},
		{"person", asText, func(v row) any { return v.Person }},
		{"wire", asText, func(v row) any { return string(v.Wire) }},
		{"lot", asText, func(v row) any { return v.Lot }},
		{"amount", b.money(), func(v row) any { return b.cash(v.Amount) }},
	}
	t := tableOf("Variance", "What differs from the standard", columns, b.Variances)
	t.total = []any{"total", "", "", "", "", "", "", b.cash(sumOf(b.Variances))}
	t.note = "above zero: dearer than the standard"
	return t
}

func sumOf(list []costing.Variance) (sum money.Minor) {
	for _, v := range list {
		sum += v.Amount
	}
	return sum
}

func (b ledgerBook) causes() bookTable {
	type row struct {
		cause costing.Cause
		costing.Caused
	}
	var rows []row
	for _, by := range []costing.Cause{costing.ByRecipe, costing.ByMachine, costing.ByPerson, costing.ByWire, costing.ByLot} {
		for _, c := range costing.GroupVariances(b.Variances, by) {
			if c.Name != "" {
				rows = append(rows, row{by, c})
			}
		}
	}
	columns := []column[row]{
		{"cause", asText, func(r row) any { return string(r.cause) }},
		{"name", asText, func(r row) any { return r.Name }},
		{"kind", asText, func(r row) any { return string(r.Kind) }},
		{"amount", b.money(), func(r row) any { return b.cash(r.Amount) }},
	}
	t := tableOf("Causes", "Variances by cause", columns, rows)
	t.note = "each variance stands under every cause that it has, so the causes do not add up to one total"
	return t
}

// journal is what a general ledger takes: a line for each day and account; journalDetail has what they are made of.
func (b ledgerBook) journal() bookTable {
	t := b.journalOf("Journal", costing.Summarise(b.Books.Journal))
	t.note = "one line for each day, account and side; the sheet Journal detail has what they are made of"
	return t
}

func (b ledgerBook) journalDetail() bookTable { return b.journalOf("Journal detail", b.Books.Journal) }

func (b ledgerBook) journalOf(name string, lines []costing.JournalLine) bookTable {
	type row = costing.JournalLine
	columns := []column[row]{
		{"date", asDay, func(l row) any { return l.Date }},
		{"account", asText, func(l row) any { return string(l.Account) }},
		{"debit", b.money(), func(l row) any { return b.unlessNone(l.Debit) }},
		{"credit", b.money(), func(l row) any { return b.unlessNone(l.Credit) }},
		{"text", asText, func(l row) any { return l.Text }},
		{"source", asText, func(l row) any { return l.Source }},
	}
	t := tableOf(name, "Journal lines for the general ledger", columns, lines)
	debit, credit := costing.Balance(lines)
	t.total = []any{nil, "total", b.cash(debit), b.cash(credit), "", ""}
	return t
}

func (b ledgerBook) checks() bookTable {
	type row = workshop.Check
	value := func(c row, n int64) any {
		if c.Mass {
			return inGrams(measure.Mass(n))
		}
		return b.cash(money.Minor(n))
	}
	columns := []column[row]{
		{"check", asText, func(c row) any { return c.What }},
		{"unit", asText, func(c row) any {
			if c.Mass {
				return "g"
			}
			return string(b.Currency)
		}},
		{"books", asItIs, func(c row) any { return value(c, c.Books) }},
		{"against", asItIs, func(c row) any { return value(c, c.Against) }},
		{"difference", asItIs, func(c row) any { return value(c, c.Difference()) }},
	}
	t := tableOf("Checks", "What was reconciled", columns, b.Books.Checks)
	t.money = b.money()
	t.note = "every difference is 0"
	if len(b.Closed) == 0 {
		t.note += "; the month is not closed"
	}
	return t
}
