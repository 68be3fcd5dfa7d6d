package exports

import (
	"io"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
)

// BatchSheets writes the workbook of one day's released plan: the sheet Day with one row per batch, the sheet Draws with
// one row per spool of a batch, then one bench page per batch, named by its code. Masses are in grams exact to the
// milligram, gauges in thousandths of an inch, scales in inches, start and end in time since the machine's day began.
// A day without batches gives Day and Draws with their header rows alone.
func BatchSheets(w io.Writer, day batch.Day) error {
	b := newBook("Batch sheets "+day.Date.String(), dayName, drawsName)
	writeDay(b, day)
	writeDraws(b, day)
	names := newSheetNames(dayName, drawsName)
	for i := range day.Sheets {
		writeBench(b, names.unused(string(day.Sheets[i].Code)), day, &day.Sheets[i])
	}
	return b.writeTo(w)
}

// dayPage is the print header and footer that every sheet of the book shares.
func dayPage(title string, day batch.Day, note string) page {
	return page{left: day.Shop, middle: title, right: longDate(day.Date), note: note}
}

func longDate(d calendar.Date) string {
	if d.IsZero() {
		return ""
	}
	return d.Time().Format("Mon 2 Jan 2006")
}
