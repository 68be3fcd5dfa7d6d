package exports

import (
	"fmt"

	"github.com/xuri/excelize/v2"

	"windingroom/internal/batch"
)

// A bench page is laid out on a grid of narrow columns, 24 × 29 pixels = 184 mm: just inside A4's printable width. Each line
// says how many of them its cells span.
const (
	gridColumns = 24
	gridPixels  = 29
	tallestRow  = 409 // points, the format's own limit
	digitPixels = 7   // of a digit in the default font, the unit of a column's width
)

// bench lays out one page from the top down.
type bench struct {
	*book
	sheet  string
	row    int     // last one written
	height float64 // of all rows so far, in points
}

// writeBench adds the bench page of one batch.
func writeBench(b *book, name string, day batch.Day, s *batch.Sheet) {
	b.sheet(name)
	p := &bench{book: b, sheet: name}
	p.grid()
	p.head(s)
	p.strip(beforeWinding)
	p.counts(s)
	p.loads(s)
	p.gauge(s)
	p.spools(s)
	p.record()
	p.notes(s)
	p.orders(s)
	b.page(name, p.printed(day, s))
}

// grid sets the columns and hides the grid lines, so that the screen shows the page that prints.
func (p *bench) grid() {
	last, err := excelize.ColumnNumberToName(gridColumns)
	p.keep(err)
	if p.err != nil {
		return
	}
	off := false
	p.keep(p.file.SetColWidth(p.sheet, "A", last, float64(gridPixels)/digitPixels))
	p.keep(p.file.SetSheetView(p.sheet, 0, &excelize.ViewOptions{ShowGridLines: &off}))
}

// printed fits the page on one sheet of paper as long as its type stays readable, and otherwise lets it run on with the
// batch's head repeated.
func (p *bench) printed(day batch.Day, s *batch.Sheet) page {
	const smallest = 0.75 // of the designed size
	pg := dayPage("Batch "+string(s.Code), day, elapsed)
	if p.height*smallest > printableHeight {
		pg.tall, pg.repeat = true, "$1:$2"
	}
	// Named, because a long text in the last column would otherwise count as wider than the page in some programs.
	pg.area = fmt.Sprintf("$A$1:$X$%d", p.row)
	return pg
}

// line writes one row of so many points.
func (p *bench) line(points float64, cells ...cell) {
	points = min(points, tallestRow)
	p.row++
	p.height += points
	if p.err != nil {
		return
	}
	p.keep(p.file.SetRowHeight(p.sheet, p.row, points))
	column := 1
	for _, c := range cells {
		if c.style != (style{}) {
			p.put(column, c)
		}
		column += c.span
	}
}

func (p *bench) put(column int, c cell) {
	from, to := at(column, p.row), at(column+c.span-1, p.row+max(c.down, 1)-1)
	p.set(p.sheet, from, c.value)
	p.style(p.sheet, from, to, c.style)
	if from != to && p.err == nil {
		p.keep(p.file.MergeCell(p.sheet, from, to))
	}
}

func (p *bench) space() { p.line(6) }
