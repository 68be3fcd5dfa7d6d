package exports

import (
	"io"

	"windingroom/internal/workshop"
)

// The sheets of a recall list.
const (
	recallOrdersName  = "Orders"
	recallStringsName = "Strings"
	recallBatchesName = "Batches"
	recallSpoolsName  = "Spools"
)

// mostNote says what the numbers of a recall list are: an upper bound.
const mostNote = "where a batch drew on several spools, any string may be from each: strings and mass are the most there can be"

var recallOrderColumns = []column[workshop.LotOrder]{
	{"order", asText, func(o workshop.LotOrder) any { return nameOf(string(o.Order)) }},
	{"customer", asText, func(o workshop.LotOrder) any { return o.First.Customer }},
	{"status", asText, func(o workshop.LotOrder) any { return string(o.First.Status) }},
	{"due_on", asDate, func(o workshop.LotOrder) any { return o.First.DueOn }},
	{"strings", asCount, func(o workshop.LotOrder) any { return o.Strings }},
	{"mass_g", asGrams, func(o workshop.LotOrder) any { return o.Mass.Grams() }},
}

var recallStringColumns = []column[workshop.TracedString]{
	{"order", asText, func(s workshop.TracedString) any { return nameOf(string(s.Order)) }},
	{"line", asCount, func(s workshop.TracedString) any { return ofOrder(s, s.Line) }},
	{"position", asCount, func(s workshop.TracedString) any { return ofOrder(s, s.Position) }},
	{"recipe", asText, func(s workshop.TracedString) any { return string(s.Recipe) }},
	{"scale_in", asInches, func(s workshop.TracedString) any { return decimal(s.Scale.InchText()) }},
	{"strings", asCount, func(s workshop.TracedString) any { return s.AtMost() }},
	{"batch", asText, func(s workshop.TracedString) any { return string(s.Batch) }},
	{"wound_on", asDate, func(s workshop.TracedString) any { return s.WoundOn }},
	{"machine", asText, func(s workshop.TracedString) any { return string(s.Machine) }},
	{"person", asText, func(s workshop.TracedString) any { return s.Person }},
	{"spool", asText, func(s workshop.TracedString) any { return string(s.Spool) }},
	{"wire", asText, func(s workshop.TracedString) any { return string(s.Wire) }},
	{"lot", asText, func(s workshop.TracedString) any { return s.Lot }},
	{"supplier", asText, func(s workshop.TracedString) any { return s.Supplier }},
	{"mass_g", asGrams, func(s workshop.TracedString) any { return s.Mass().Grams() }},
}

var recallBatchColumns = []column[workshop.TracedBatch]{
	{"batch", asText, func(b workshop.TracedBatch) any { return string(b.Batch) }},
	{"date", asDate, func(b workshop.TracedBatch) any { return b.Date }},
	{"machine", asText, func(b workshop.TracedBatch) any { return string(b.Machine) }},
	{"status", asText, func(b workshop.TracedBatch) any { return string(b.Status) }},
	{"recipe", asText, func(b workshop.TracedBatch) any { return string(b.Recipe) }},
	{"scale_in", asInches, func(b workshop.TracedBatch) any { return decimal(b.Scale.InchText()) }},
	{"drawn_g", asGrams, func(b workshop.TracedBatch) any { return b.Drawn.Grams() }},
	{"still_held_g", asGrams, func(b workshop.TracedBatch) any { return b.Held.Grams() }},
}

var recallSpoolColumns = []column[workshop.TracedSpool]{
	{"spool", asText, func(s workshop.TracedSpool) any { return string(s.Spool) }},
	{"wire", asText, func(s workshop.TracedSpool) any { return string(s.Wire) }},
	{"lot", asText, func(s workshop.TracedSpool) any { return s.Lot }},
	{"supplier", asText, func(s workshop.TracedSpool) any { return s.Supplier }},
	{"received_on", asDate, func(s workshop.TracedSpool) any { return s.ReceivedOn }},
	{"received_g", asGrams, func(s workshop.TracedSpool) any { return s.Received.Grams() }},
	{"drawn_g", asGrams, func(s workshop.TracedSpool) any { return s.Drawn.Grams() }},
	{"on_hand_g", asGrams, func(s workshop.TracedSpool) any { return s.OnHand.Grams() }},
}

// RecallList writes the workbook of a lot that must come back: the sheet Orders with one row per order that has strings which may
// hold wire of the lot, the finished stock first; Strings with one row per string position and spool; Batches that drew on the
// lot or still will; and its Spools. Masses are in grams exact to the milligram.
func RecallList(w io.Writer, t workshop.LotTrace) error {
	b := newBook("Recall list of lot "+t.Lot, recallOrdersName, recallStringsName, recallBatchesName, recallSpoolsName)
	print := func(title string) page {
		return page{left: t.Shop, middle: title, right: "lot " + t.Lot, note: mostNote}
	}
	list(b, recallOrdersName, recallOrderColumns, t.Orders(), print("Recall list: orders"))
	list(b, recallStringsName, recallStringColumns, t.Strings, print("Recall list: strings"))
	list(b, recallBatchesName, recallBatchColumns, t.Batches, print("Recall list: batches"))
	list(b, recallSpoolsName, recallSpoolColumns, t.Spools, print("Recall list: spools"))
	return b.writeTo(w)
}

// nameOf names an order; strings of none are finished stock.
func nameOf(order string) string {
	if order == "" {
		return "(finished stock)"
	}
	return order
}

// ofOrder leaves a cell of finished stock empty.
func ofOrder(s workshop.TracedString, n int) any {
	if s.Order == "" {
		return nil
	}
	return n
}
