package chart

import (
	"fmt"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"windingroom/internal/web/page"
)

// Series is one value for each group of a chart of columns, in one ink.
type Series struct {
	Name   string
	Values []float64
}

// inks of series, in their order.
var inks = []Ink{First, Second, Third}

// Columns draws a column for each group, or one beside the other for up to three series: the tension of each string of one set, of
// two to compare. format prints a value for the table, with its unit.
func Columns(about About, groups []string, series []Series, across []Level, format func(float64) string) (page.Chart, error) {
	if len(groups) == 0 || len(series) == 0 || len(series) > len(inks) {
		return page.Chart{}, fmt.Errorf("a chart of columns needs groups and one to %d series", len(inks))
	}
	p := newPlot(about.Unit)
	room := vg.Length(.62*width) / vg.Length(len(groups)) // columns and the gaps between groups share the width
	each := min(room/vg.Length(len(series)), vg.Points(48))
	var key []page.KeyEntry
	for i, s := range series {
		if len(s.Values) != len(groups) {
			return page.Chart{}, fmt.Errorf("series %s has %d values for %d groups", s.Name, len(s.Values), len(groups))
		}
		bars, err := plotter.NewBarChart(plotter.Values(s.Values), each)
		if err != nil {
			return page.Chart{}, fmt.Errorf("series %s: %w", s.Name, err)
		}
		bars.Color, bars.LineStyle.Width = inks[i], 0
		bars.Offset = each * (vg.Length(i) - vg.Length(len(series)-1)/2)
		p.Add(bars)
		key = append(key, page.KeyEntry{Ink: string(inks[i]), Text: s.Name})
	}
	p.NominalX(groups...)
	p.X.LineStyle.Color, p.X.Tick.Label.Color = Axis, Axis
	p.Y.Min = min(0, p.Y.Min)
	for _, l := range across {
		p.Y.Max = max(p.Y.Max, l.Value*1.05)
	}
	p.X.Min, p.X.Max = -.6, float64(len(groups))-.4
	if err := levels(p, across); err != nil {
		return page.Chart{}, err
	}
	return finish(p, about, key, across, columnTable(about, groups, series, format)), nil
}

func columnTable(about About, groups []string, series []Series, format func(float64) string) page.Table {
	columns := []page.Column[int]{{Head: "", Cell: func(i int) page.Cell { return page.Text(groups[i]) }}}
	for _, s := range series {
		columns = append(columns, page.Column[int]{Head: s.Name, Number: true, Cell: func(i int) page.Cell { return page.Text(format(s.Values[i])) }})
	}
	rows := make([]int, len(groups))
	for i := range rows {
		rows[i] = i
	}
	columns[0].Head = "Of"
	return page.Plain(about.ID+"-numbers", about.Title, columns, rows)
}
