package exports

import "windingroom/internal/batch"

// draw is one row of the sheet Draws.
type draw struct {
	sheet *batch.Sheet
	from  *batch.SpoolDraw
}

var drawColumns = []column[draw]{
	{"batch", asText, func(d draw) any { return string(d.sheet.Code) }},
	{"spool", asText, func(d draw) any { return string(d.from.Spool) }},
	{"wire", asText, func(d draw) any { return string(d.from.Wire) }},
	{"lot", asText, func(d draw) any { return d.from.Lot }},
	{"strings", asCount, func(d draw) any { return d.from.Strings }},
	{"mass_g", asGrams, func(d draw) any { return d.from.Mass.Grams() }},
	{"spool_before_g", asGrams, func(d draw) any { return d.from.Before.Grams() }},
	{"spool_after_g", asGrams, func(d draw) any { return d.from.After.Grams() }},
	{"tare_g", asGrams, func(d draw) any { return d.from.Tare.Grams() }},
	{"scale_after_g", asGrams, func(d draw) any { return (d.from.After + d.from.Tare).Grams() }},
	{"location", asText, func(d draw) any { return d.from.Location }},
	{"machine", asText, func(d draw) any { return string(d.sheet.Machine) }},
}

// writeDraws fills the sheet Draws, one row per spool of a batch in the order of use. Net masses are before and after the
// draw; the scale reads net and tare together.
func writeDraws(b *book, day batch.Day) {
	var rows []draw
	for i := range day.Sheets {
		s := &day.Sheets[i]
		for j := range s.Spools {
			rows = append(rows, draw{s, &s.Spools[j]})
		}
	}
	list(b, drawsName, drawColumns, rows, dayPage("Wire to draw", day, "before and after are net; the scale reads net and tare"))
}
