package costing_test

import (
	"slices"
	"testing"

	"windingroom/internal/costing"
)

// One line for each day, account and side; sources once each, the first few by name.
func TestSummarise(t *testing.T) {
	line := func(day int, account string, debit, credit int, source string) costing.JournalLine {
		return costing.JournalLine{Date: firstDay + calendarDays(day), Account: costing.Account(account), Debit: minorOf(debit), Credit: minorOf(credit), Text: "x", Source: source}
	}
	var detail []costing.JournalLine
	for _, b := range []string{"B3", "B1", "B2", "B1", "B5", "B6", "B4"} {
		detail = append(detail, line(1, "20", 100, 0, b), line(1, "10", 0, 100, b))
	}
	detail = append(detail, line(0, "20", 7, 0, "roll"), line(0, "10", 0, 7, "roll"), line(1, "10", 30, 0, "B9"), line(1, "20", 0, 30, "B9"))
	want := []costing.JournalLine{line(0, "10", 0, 7, "roll"), line(0, "20", 7, 0, "roll"), line(1, "10", 30, 0, "B9"), line(1, "10", 0, 700, "B1, B2, B3, B4, B5, 1 more"),
		line(1, "20", 700, 0, "B1, B2, B3, B4, B5, 1 more"), line(1, "20", 0, 30, "B9")}
	for i, lines := range []string{"1 line", "1 line", "1 line", "7 lines", "7 lines", "1 line"} {
		want[i].Text = lines
	}
	if got := costing.Summarise(detail); !slices.Equal(got, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
	if got := costing.Summarise(nil); len(got) != 0 {
		t.Errorf("of nothing: %+v", got)
	}
}

func calendarDays(n int) calendarDate { return calendarDate(n) }
