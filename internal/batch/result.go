package batch

import (
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
)

// Result is what came off the machine of a batch, whole or in part. It is never changed: one that was wrong is undone.
type Result struct {
	Batch     Code
	Number    int // in the batch, 1 upwards, in the order they were posted
	WoundOn   calendar.Date
	Good      int
	Scrapped  int
	Minutes   time.Duration
	Person    string // who wound
	Continues bool   // the batch goes on after it
	PostedAt  time.Time
	PostedBy  string
	Key       string // idempotency key

	Draws []Taken // by spool
	Given []Serve // where the good strings went; those of no order are finished stock

	UndoneAt   time.Time // zero while it stands
	UndoneBy   string
	UndoReason string
}

// Strings gives how many were wound.
func (r Result) Strings() int { return r.Good + r.Scrapped }

// Stands says whether the result was not undone.
func (r Result) Stands() bool { return r.UndoneAt.IsZero() }

// Taken is the wire that a result took from one spool.
type Taken struct {
	Spool    stock.SpoolCode
	Wire     material.WireCode
	Strings  int
	Each     measure.MassEach // of the wire in one string
	Mass     measure.Mass
	Movement stock.MovementID // that took it off the spool
}

// Wound adds up, by spool, the strings that the results of a batch that stand took.
func Wound(results []Result) map[stock.SpoolCode]int {
	wound := map[stock.SpoolCode]int{}
	for _, r := range results {
		if r.Stands() {
			for _, d := range r.Draws {
				wound[d.Spool] += d.Strings
			}
		}
	}
	return wound
}
