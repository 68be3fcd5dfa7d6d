package exports

import "github.com/xuri/excelize/v2"

const fontName = "Arial"

// Number formats.
const (
	asText    = "@"
	asCount   = "#,##0"
	asThou    = "0.0##"
	asMM      = "0.000"
	asTenth   = "#,##0.0"
	asGrams   = "#,##0.000"
	asInches  = "0.00##"
	asInch    = "0.00"
	asMinutes = "0.0##"
	asElapsed = "[h]:mm"
	asDate    = "ddd d mmm yyyy"
)

// style is how a cell looks. Equal styles are made once in a book.
type style struct {
	format string // empty is general
	size   float64
	bold   bool
	align  string // left, center or right
	wrap   bool
	shrink bool // narrower type where the text is too long for the cell
	fill   string
	ink    string
	box    int  // border around the cell: none, thin or thick
	rule   bool // a thicker line above
}

const (
	noBox = iota
	thin
	thick
)

// Greys that survive a black-and-white printer.
const (
	pale = "E8E8E8"
	dim  = "555555"
)

// is gives the number of a style in the book.
func (b *book) is(s style) int {
	if id, ok := b.styles[s]; ok {
		return id
	}
	id, err := b.file.NewStyle(s.excel())
	b.keep(err)
	b.styles[s] = id
	return id
}

func (s style) excel() *excelize.Style {
	x := &excelize.Style{
		Font:      &excelize.Font{Family: fontName, Size: s.size, Bold: s.bold, Color: s.ink},
		Alignment: &excelize.Alignment{Horizontal: s.align, Vertical: "center", WrapText: s.wrap, ShrinkToFit: s.shrink},
		Border:    s.borders(),
	}
	if s.box != noBox && s.align == "left" {
		x.Alignment.Indent = 1 // off the line
	}
	if s.format != "" {
		x.CustomNumFmt = &s.format
	}
	if s.fill != "" {
		x.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{s.fill}}
	}
	return x
}

func (s style) borders() []excelize.Border {
	line := map[int]int{thin: 1, thick: 5}[s.box]
	if line == 0 {
		return nil
	}
	var all []excelize.Border
	for _, side := range []string{"left", "top", "right", "bottom"} {
		all = append(all, excelize.Border{Type: side, Color: "000000", Style: line})
		if s.rule && side == "top" {
			all[len(all)-1].Style = 5
		}
	}
	return all
}
