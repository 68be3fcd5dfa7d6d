package exports

import (
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// column is one column of a list: its header, how its values look, and the value of a row as book.set takes it.
type column[T any] struct {
	header string
	format string
	value  func(T) any
}

const (
	listSize  = 10
	minWidth  = 6  // characters
	maxWidth  = 32 // characters; longer text is printed narrower
	numWidth  = 10 // characters a formatted number may need
	dateWidth = 16
)

// list fills a sheet with a header row and one row for each value, its columns as wide as what they hold. The header row
// is frozen and printed on every page, which is as wide as the columns.
func list[T any](b *book, sheet string, columns []column[T], rows []T, p page) {
	head := b.is(style{size: listSize, bold: true, fill: pale, box: thin, align: "center"})
	widths := make([]int, len(columns))
	for c, col := range columns {
		b.set(sheet, at(c+1, 1), col.header)
		widths[c] = max(minWidth, utf8.RuneCountInString(col.header))
		for r, row := range rows {
			v := col.value(row)
			b.set(sheet, at(c+1, r+2), v)
			widths[c] = max(widths[c], width(v, col.format))
		}
		name, err := excelize.ColumnNumberToName(c + 1)
		b.keep(err)
		b.keep(b.file.SetColWidth(sheet, name, name, float64(min(widths[c], maxWidth))+2.5))
	}
	b.keep(b.file.SetCellStyle(sheet, at(1, 1), at(len(columns), 1), head))
	dress(b, sheet, columns, rows)
	b.freezeHeader(sheet)
	p.landscape, p.tall, p.repeat = true, true, "$1:$1"
	b.page(sheet, p)
}

// dress gives the rows their formats, with a thick line above each whose first column differs from the row before.
func dress[T any](b *book, sheet string, columns []column[T], rows []T) {
	for from := 0; from < len(rows); {
		to := from + 1
		for to < len(rows) && columns[0].value(rows[to]) == columns[0].value(rows[from]) {
			to++
		}
		for c, col := range columns {
			s := style{size: listSize, format: col.format, align: "right", box: thin}
			if col.format == asText {
				s.align, s.shrink = "left", true
			}
			b.style(sheet, at(c+1, from+2), at(c+1, to+1), s)
			if from > 0 {
				s.rule = true
				b.style(sheet, at(c+1, from+2), at(c+1, from+2), s)
			}
		}
		from = to
	}
}

func width(value any, format string) int {
	if text, ok := value.(string); ok {
		return utf8.RuneCountInString(text)
	}
	if format == asDate {
		return dateWidth
	}
	return min(numWidth, len(format)+1)
}

func (b *book) style(sheet, from, to string, s style) {
	if b.err == nil {
		b.keep(b.file.SetCellStyle(sheet, from, to, b.is(s)))
	}
}

func (b *book) freezeHeader(sheet string) {
	if b.err == nil {
		b.keep(b.file.SetPanes(sheet, &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}))
	}
}
