package exports

import (
	"fmt"
	"strconv"

	"github.com/xuri/excelize/v2"

	"windingroom/internal/batch"
)

// The sheets of the batch-sheet workbook that are not bench pages.
const (
	dayName   = "Day"
	drawsName = "Draws"
)

const elapsed = "start and end: hours and minutes after the machine's day begins"

var dayColumns = []column[*batch.Sheet]{
	{"machine", asText, func(s *batch.Sheet) any { return string(s.Machine) }},
	{"sequence", asCount, func(s *batch.Sheet) any { return s.Sequence }},
	{"batch", asText, func(s *batch.Sheet) any { return string(s.Code) }},
	{"recipe", asText, func(s *batch.Sheet) any { return string(s.Recipe) }},
	{"gauge_thou", asThou, func(s *batch.Sheet) any { return decimal(s.Gauge.ThouText()) }},
	{"scale_in", asInches, func(s *batch.Sheet) any { return decimal(s.Scale.InchText()) }},
	{"strings_ordered", asCount, func(s *batch.Sheet) any { return s.Ordered }},
	{"strings_to_wind", asCount, func(s *batch.Sheet) any { return s.ToWind }},
	{"setup_min", asMinutes, func(s *batch.Sheet) any { return s.Setup.Minutes() }},
	{"run_min", asMinutes, func(s *batch.Sheet) any { return s.Run.Minutes() }},
	{"start", asElapsed, func(s *batch.Sheet) any { return s.Starts }},
	{"end", asElapsed, func(s *batch.Sheet) any { return s.Ends }},
	{"version", asCount, func(s *batch.Sheet) any { return s.Version }},
}

// writeDay fills the sheet Day, one row per batch in the order given. There is no clock in a plan, so start and end are
// time elapsed since the machine's day began; the print footer and a note on the header say so.
func writeDay(b *book, day batch.Day) {
	rows := make([]*batch.Sheet, len(day.Sheets))
	for i := range day.Sheets {
		rows[i] = &day.Sheets[i]
	}
	list(b, dayName, dayColumns, rows, dayPage("Plan of the day", day, elapsed))
	if b.err == nil {
		b.keep(b.file.AddComment(dayName, excelize.Comment{Cell: "K1", Author: "Winding Room", Paragraph: []excelize.RichTextRun{{Text: setupNote(day)}}}))
	}
}

func setupNote(day batch.Day) string {
	return fmt.Sprintf("%s. Setup of all machines is %.4g min; no sequence of these batches needs less than %.4g min.",
		elapsed, day.Setup.Minutes(), day.SetupBound.Minutes())
}

// decimal reads an exact decimal text of a quantity as the number nearest to it, so that 13.5 thou is the cell 13.5.
func decimal(text string) float64 {
	v, _ := strconv.ParseFloat(text, 64) // the texts come from package measure and are plain decimals
	return v
}
