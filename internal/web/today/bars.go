package today

import (
	"fmt"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/planning"
)

// chart is the day drawn as one bar per machine: setup and run of each batch over the hours. Its units are those of the
// drawing; the page scales it to its width.
type chart struct {
	Width  int
	Height int
	Top    int // where the first row begins
	Hours  []tick
	Rows   []row
}

type tick struct {
	X     int
	Label string
}

type row struct {
	Machine string
	LabelY  int
	BarY    int
	TextY   int
	Bars    []bar
}

// bar is one batch: X to RunX is setup, RunX to X+Width its run.
type bar struct {
	Code       string
	Title      string
	Label      string // sequence number, where there is room for it
	X          int
	SetupWidth int
	RunX       int
	RunWidth   int
	TextX      int
}

const (
	chartWidth = 1000
	chartTop   = 26
	rowHeight  = 66
	barDown    = 24 // from the row's top to its bar
	digitRoom  = 13 // for each digit of a number inside a run
)

func newChart(machines []planning.MachineDay) chart {
	whole := span(machines)
	at := func(d time.Duration) int { return int(int64(chartWidth) * int64(d) / int64(whole)) }
	c := chart{Width: chartWidth, Height: chartTop + rowHeight*len(machines), Top: chartTop}
	for h := time.Duration(0); h <= whole; h += time.Hour {
		c.Hours = append(c.Hours, tick{X: at(h), Label: fmt.Sprintf("%d h", h/time.Hour)})
	}
	for i, m := range machines {
		top := chartTop + rowHeight*i
		r := row{Machine: string(m.Machine), LabelY: top + 18, BarY: top + barDown, TextY: top + barDown + 20}
		for _, b := range m.Batches {
			r.Bars = append(r.Bars, newBar(b, at))
		}
		c.Rows = append(c.Rows, r)
	}
	return c
}

func newBar(b batch.Batch, at func(time.Duration) int) bar {
	run := b.Starts + b.Setup
	v := bar{
		Code: string(b.Code), X: at(b.Starts), SetupWidth: at(run) - at(b.Starts), RunX: at(run), RunWidth: at(b.Ends) - at(run),
		Title: fmt.Sprintf("%s: %s, %d strings, setup %s, %s to %s", b.Code, b.Recipe, b.ToWind, spell(b.Setup), clock(b.Starts), clock(b.Ends)),
	}
	v.TextX = v.RunX + v.RunWidth/2
	if number := fmt.Sprint(b.Sequence); v.RunWidth >= digitRoom*len(number) {
		v.Label = number
	}
	return v
}

// span is the drawn time: the longest machine's day in whole hours, at least one.
func span(machines []planning.MachineDay) time.Duration {
	whole := time.Hour
	for _, m := range machines {
		for _, b := range m.Batches {
			whole = max(whole, (b.Ends + time.Hour - 1).Truncate(time.Hour))
		}
	}
	return whole
}
