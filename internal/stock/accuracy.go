package stock

import (
	"windingroom/internal/calendar"
	"windingroom/internal/measure"
)

// Counted is a spool that was weighed beside what the books said.
type Counted struct {
	On          calendar.Date
	Class       Class
	Book        measure.Mass
	Found       measure.Mass
	Uncertainty measure.Mass // of the difference, k = 2
}

// Hit says whether the record was right: the difference is within the tolerance of its class, or within what the weighing
// leaves open.
func (c Counted) Hit() bool {
	return abs(c.Found-c.Book) <= max(c.Class.Tolerance(c.Book), c.Uncertainty)
}

// Accuracy is how many of the records that were looked at were right.
type Accuracy struct{ Hits, Records int }

// AccuracyOver gives the record accuracy of the days from first to last, both within. Each record counts by itself: one that
// holds too much never makes up for one that holds too little. The usual aim is 95 %, and 99 % is best (common practice of
// cycle counting, read).
func AccuracyOver(counts []Counted, first, last calendar.Date) Accuracy {
	var a Accuracy
	for _, c := range counts {
		if c.On < first || c.On > last {
			continue
		}
		a.Records++
		if c.Hit() {
			a.Hits++
		}
	}
	return a
}

// Share gives hits over records, from 0 to 1; ok is false where nothing was counted.
func (a Accuracy) Share() (share float64, ok bool) {
	if a.Records == 0 {
		return 0, false
	}
	return float64(a.Hits) / float64(a.Records), true
}
