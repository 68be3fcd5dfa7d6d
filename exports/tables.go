package exports

import (
	"bufio"
	"cmp"
	"fmt"
	"math"
	"time"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// bookTable is one list of the books, written as a sheet or as CSV. Its rows come one at a time, so that a long one is never in memory.
type bookTable struct {
	name, title, note string
	heads             []head
	rows              func(do func(values []any) error) error
	total             []any  // a last row, set off; nil for none
	money             string // format of amounts in columns of mixed values
}

// asItIs is the format of a column that holds masses and money, each in its own format.
const asItIs = ""

func (t bookTable) formatOf(value any) string {
	if _, ok := value.(inGrams); ok {
		return asGrams
	}
	return t.money
}

// widest is how many characters a column may be wide: a table of few columns has room for sentences.
func (t bookTable) widest() int {
	if len(t.heads) <= 6 {
		return 3 * maxWidth
	}
	return maxWidth
}

// head is a column of a table.
type head struct {
	header string
	format string
	width  int // characters its values take
}

// cash is money of a currency: a number in a workbook, exact decimals in CSV.
type cash struct {
	currency money.Currency
	minor    money.Minor
}

// inGrams is a mass in grams: a number in a workbook, three decimals in CSV.
type inGrams measure.Mass

// tableOf makes a table of a list, its columns as wide as what they hold.
func tableOf[T any](name, title string, columns []column[T], rows []T) bookTable {
	t := bookTable{name: name, title: title, heads: headsOf(columns)}
	for i := range rows {
		for c, col := range columns {
			if text, ok := col.value(rows[i]).(string); ok {
				t.heads[c].width = max(t.heads[c].width, utf8.RuneCountInString(text))
			}
		}
	}
	t.rows = func(do func([]any) error) error {
		for _, row := range rows {
			if err := do(valuesOf(columns, row)); err != nil {
				return err
			}
		}
		return nil
	}
	return t
}

func headsOf[T any](columns []column[T]) []head {
	heads := make([]head, len(columns))
	for c, col := range columns {
		heads[c] = head{col.header, col.format, max(minWidth, utf8.RuneCountInString(col.header), width(nil, cmp.Or(col.format, asGrams)))}
	}
	return heads
}

func valuesOf[T any](columns []column[T], row T) []any {
	values := make([]any, len(columns))
	for c, col := range columns {
		values[c] = col.value(row)
	}
	return values
}

// table lays out a sheet of the book: the library writes its header row, the rows are written with the file.
func (b *book) table(t bookTable, p page) {
	if b.err != nil {
		return
	}
	p.middle, p.note = t.title, t.note
	p.landscape, p.tall, p.repeat = true, true, "$1:$1"
	b.page(t.name, p)
	sw, err := b.file.NewStreamWriter(t.name)
	if b.keep(err); b.err != nil {
		return
	}
	b.keep(sw.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}))
	headers := make([]any, len(t.heads))
	for c, h := range t.heads {
		b.keep(sw.SetColWidth(c+1, c+1, float64(min(h.width, t.widest()))+2.5))
		headers[c] = excelize.Cell{StyleID: b.is(style{size: listSize, bold: true, fill: pale, box: thin, align: "center"}), Value: h.header}
	}
	b.keep(sw.SetRow("A1", headers))
	b.keep(sw.Flush())
	index, err := b.file.GetSheetIndex(t.name)
	b.keep(err)
	b.rows[fmt.Sprintf("xl/worksheets/sheet%d.xml", index+1)] = b.rowsOf(t)
}

// rowsOf gives what writes the rows of a table, and its total, under the header row. The styles are made now, the rows read then.
func (b *book) rowsOf(t bookTable) func(*bufio.Writer) error {
	names, styles, totals := make([]string, len(t.heads)), make([]int, len(t.heads)), make([]int, len(t.heads))
	for c, h := range t.heads {
		name, err := excelize.ColumnNumberToName(c + 1)
		b.keep(err)
		s := style{size: listSize, format: h.format, align: "right", box: thin}
		if h.format == asText {
			s.align, s.shrink = "left", true
		}
		names[c], styles[c] = name, b.is(s)
		s.bold, s.fill, s.rule = true, pale, true
		totals[c] = b.is(s)
	}
	mixed := map[string]int{}
	for _, format := range []string{asGrams, t.money} {
		mixed[format] = b.is(style{size: listSize, format: format, align: "right", box: thin})
	}
	return func(out *bufio.Writer) error {
		row := 1
		err := t.rows(func(values []any) error {
			row++
			for c, h := range t.heads {
				if h.format == asItIs {
					styles[c] = mixed[t.formatOf(values[c])]
				}
			}
			return rowXML(out, row, names, values, styles)
		})
		if err != nil || t.total == nil {
			return err
		}
		return rowXML(out, row+1, names, t.total, totals)
	}
}

// cellValue gives a value as a text or a number.
func cellValue(value any) (any, error) {
	switch v := value.(type) {
	case nil, int, float64, string:
		return v, nil
	case inGrams:
		return measure.Mass(v).Grams(), nil
	case cash:
		return v.currency.Float(v.minor), nil
	case time.Duration:
		return math.Round(v.Minutes()*1000) / 1000, nil
	case calendar.Date:
		if v.IsZero() {
			return nil, nil
		}
		return int(v - dayZero), nil
	case time.Time:
		return v.Sub(dayZero.Time()).Hours() / 24, nil
	}
	return nil, fmt.Errorf("no cell type for %T", value)
}
