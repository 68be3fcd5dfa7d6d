// Package chart draws charts for pages as SVG on the server, by gonum's plot. What it draws has inks and no colours: the style sheet
// gives each ink its colour, light or dark. Every chart comes with a title, a description and the table of its numbers.
package chart

import (
	"fmt"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"windingroom/internal/web/page"
)

// The size of a drawing in points; a page scales it to its width.
const (
	width  = 760
	height = 300
)

// About is what is said about a chart in words.
type About struct {
	ID    string // unique on the page
	Title string
	Desc  string // what the drawing shows, for who cannot see it: the answer, not the look
	Unit  string // of the numbers
}

// Level is a line across the chart: an order point, a limit.
type Level struct {
	Name  string
	Value float64
}

// newPlot makes an empty chart with axes in the inks of the page.
func newPlot(unit string) *plot.Plot {
	p := plot.New()
	p.BackgroundColor = nil
	p.Y.Label.Text = unit
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		a.Color, a.Tick.Color, a.Tick.Label.Color, a.Label.TextStyle.Color = Axis, Axis, Axis, Axis
		a.LineStyle.Width, a.Tick.LineStyle.Width = vg.Points(.75), vg.Points(.75)
		a.Tick.Label.Font.Size, a.Label.TextStyle.Font.Size = font.Points(12), font.Points(12)
		a.Padding = vg.Points(4)
	}
	grid := plotter.NewGrid()
	grid.Vertical.Color = nil
	grid.Horizontal.Color, grid.Horizontal.Width = Grid, vg.Points(.5)
	p.Add(grid)
	return p
}

// levels draws lines across the whole chart.
func levels(p *plot.Plot, list []Level) error {
	for _, l := range list {
		line, err := plotter.NewLine(plotter.XYs{{X: p.X.Min, Y: l.Value}, {X: p.X.Max, Y: l.Value}})
		if err != nil {
			return fmt.Errorf("level %s: %w", l.Name, err)
		}
		line.Color, line.Width, line.Dashes = Limit, vg.Points(1.5), []vg.Length{vg.Points(6), vg.Points(4)}
		p.Add(line)
	}
	return nil
}

// finish draws the plot and puts words, key and table with it.
func finish(p *plot.Plot, about About, key []page.KeyEntry, list []Level, table page.Table) page.Chart {
	for _, l := range list {
		key = append(key, page.KeyEntry{Ink: string(Limit), Text: fmt.Sprintf("%s %s", l.Name, page.Number(l.Value))})
	}
	c := newCanvas(about)
	p.Draw(draw.NewCanvas(c, width, height))
	return page.Chart{ID: about.ID, Title: about.Title, Desc: about.Desc, SVG: c.html(), Key: key, Table: table}
}
