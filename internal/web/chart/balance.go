package chart

import (
	"fmt"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"windingroom/internal/calendar"
	"windingroom/internal/web/page"
)

// Day is one day of a projected balance: the expected value at its end and the band it lies in.
type Day struct {
	Date             calendar.Date
	Low, Value, High float64
	Event            string // what happens on the day, such as a receipt; empty for nothing
}

// Balance draws a projected balance by day with its band, the days on which something happens marked. format prints a value for the
// table, with its unit.
func Balance(about About, days []Day, band string, across []Level, format func(float64) string) (page.Chart, error) {
	if len(days) < 2 {
		return page.Chart{}, fmt.Errorf("a balance needs two days, and has %d", len(days))
	}
	p := newPlot(about.Unit)
	var middle, marks plotter.XYs
	for _, d := range days {
		at := plotter.XY{X: float64(d.Date), Y: d.Value}
		middle = append(middle, at)
		if d.Event != "" {
			marks = append(marks, at)
		}
	}
	area, err := plotter.NewPolygon(around(days))
	if err != nil {
		return page.Chart{}, fmt.Errorf("band: %w", err)
	}
	area.Color, area.LineStyle.Width = Band, 0
	line, err := plotter.NewLine(middle)
	if err != nil {
		return page.Chart{}, fmt.Errorf("balance: %w", err)
	}
	line.Color, line.Width, line.StepStyle = First, vg.Points(2), plotter.PostStep
	p.Add(area, line)
	key := []page.KeyEntry{{Ink: string(First), Text: "expected"}, {Ink: string(Band), Text: band}}
	if len(marks) > 0 {
		dots, err := plotter.NewScatter(marks)
		if err != nil {
			return page.Chart{}, fmt.Errorf("events: %w", err)
		}
		dots.Color, dots.Radius, dots.Shape = Second, vg.Points(5), disc{}
		p.Add(dots)
		key = append(key, page.KeyEntry{Ink: string(Second), Text: "something comes or goes: see the numbers"})
	}
	p.X.Tick.Marker = plot.TickerFunc(func(least, most float64) []plot.Tick { return weeks(calendar.Date(least), calendar.Date(most)) })
	p.Y.Min = min(0, p.Y.Min)
	for _, l := range across {
		p.Y.Max = max(p.Y.Max, l.Value*1.05)
	}
	if err := levels(p, across); err != nil {
		return page.Chart{}, err
	}
	return finish(p, about, key, across, dayTable(about, days, format)), nil
}

// around is the edge of the band, in steps as the balance itself: each day keeps its bounds until the next.
func around(days []Day) plotter.XYs {
	var high, low plotter.XYs
	for i, d := range days {
		if i > 0 {
			high = append(high, plotter.XY{X: float64(d.Date), Y: days[i-1].High})
			low = append(low, plotter.XY{X: float64(d.Date), Y: days[i-1].Low})
		}
		high = append(high, plotter.XY{X: float64(d.Date), Y: d.High})
		low = append(low, plotter.XY{X: float64(d.Date), Y: d.Low})
	}
	slices.Reverse(low)
	return append(high, low...)
}

// weeks marks Mondays, as many of them as there is room to name.
func weeks(least, most calendar.Date) []plot.Tick {
	const named = 9
	step := calendar.Date(7 * (1 + int(most-least)/(7*named)))
	first := least
	for first.Weekday() != 1 {
		first++
	}
	var ticks []plot.Tick
	for d := first; d <= most; d += step {
		ticks = append(ticks, plot.Tick{Value: float64(d), Label: d.Time().Format("2 Jan")})
	}
	return ticks
}

func dayTable(about About, days []Day, format func(float64) string) page.Table {
	number := func(head string, of func(Day) float64) page.Column[Day] {
		return page.Column[Day]{Head: head, Number: true, Cell: func(d Day) page.Cell { return page.Text(format(of(d))) }}
	}
	return page.Plain(about.ID+"-numbers", about.Title, []page.Column[Day]{
		{Head: "Day", Cell: func(d Day) page.Cell { return page.Text(d.Date.Time().Format("Mon 2 Jan 2006")) }},
		number("Low", func(d Day) float64 { return d.Low }),
		number("Expected", func(d Day) float64 { return d.Value }),
		number("High", func(d Day) float64 { return d.High }),
		{Head: "What happens", Cell: func(d Day) page.Cell { return page.Text(d.Event) }},
	}, days)
}
