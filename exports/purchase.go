package exports

import (
	"io"
	"strings"

	"windingroom/internal/money"
	"windingroom/internal/purchase"
	"windingroom/internal/workshop"
)

// purchaseSheetName is the only sheet of a purchase.
const purchaseSheetName = "Purchase"

func purchaseColumns(c money.Currency) []column[purchase.Line] {
	price := asMoney(c)
	return []column[purchase.Line]{
		{"wire", asText, func(l purchase.Line) any { return string(l.Wire) }},
		{"packs", asCount, func(l purchase.Line) any { return l.Packs }},
		{"kg", asGrams, func(l purchase.Line) any { return decimal(l.Mass.KilogramText()) }},
		{"price_per_kg", price, func(l purchase.Line) any { return c.Float(l.PricePerKg) }},
		{"cost", price, func(l purchase.Line) any { return c.Float(l.Cost()) }},
	}
}

// PurchaseOrder writes the spreadsheet of a purchase for its supplier: one row per wire, with the total at the end. Its number, the shop and
// the promised day stand in the print header and footer.
func PurchaseOrder(w io.Writer, p workshop.PurchaseStory) error {
	b := newBook("Purchase "+string(p.Code), purchaseSheetName)
	note := "ordered in " + string(p.Currency)
	if !p.OrderedOn.IsZero() {
		note += ", on " + p.OrderedOn.String()
	}
	if !p.PromisedOn.IsZero() {
		note += ", promised for " + p.PromisedOn.String()
	}
	if p.Note != "" {
		note += ": " + p.Note
	}
	columns := purchaseColumns(p.Currency)
	list(b, purchaseSheetName, columns, p.Lines, page{left: p.Shop, middle: "Purchase order to " + p.From.Name, right: string(p.Code), note: note})
	row := len(p.Lines) + 2
	b.set(purchaseSheetName, at(1, row), "total")
	b.set(purchaseSheetName, at(len(columns), row), p.Currency.Float(p.Total()-p.Freight))
	b.style(purchaseSheetName, at(1, row), at(len(columns)-1, row), style{size: listSize, bold: true, box: thin, rule: true})
	b.style(purchaseSheetName, at(len(columns), row), at(len(columns), row), style{size: listSize, bold: true, box: thin, rule: true, align: "right", format: asMoney(p.Currency)})
	return b.writeTo(w)
}

// asMoney is the format of amounts of a currency.
func asMoney(c money.Currency) string {
	if n := c.Decimals(); n > 0 {
		return "#,##0." + strings.Repeat("0", n)
	}
	return "#,##0"
}
