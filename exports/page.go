package exports

import (
	"strings"
	"unicode"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"
)

// page is how a sheet prints. Paper is A4, and everything is laid out inside the smaller of the two common papers in each
// direction: A4's width (210 mm) and Letter's height (279.4 mm), less the margins. A shop that prints on Letter chooses it
// in the print dialogue, and nothing moves to another page.
type page struct {
	left, middle, right, note string // print header, and a note in the footer
	landscape                 bool
	tall                      bool   // may run on over several pages; otherwise the sheet is fitted on one
	repeat                    string // rows printed on every page, as $1:$1; empty is none
	area                      string // what prints, as $A$1:$B$2; empty is everything
}

const (
	paperA4 = 9
	side    = 0.47 // inches, 12 mm
	edge    = 0.71 // inches, 18 mm, with the print header or footer inside it
	inner   = 0.31 // inches from the paper's edge to the print header or footer
	// printableHeight of a portrait page on Letter in points, the smaller: (11 − 2 × 0.71) × 72.
	printableHeight = 689
)

func (b *book) page(sheet string, p page) {
	if b.err != nil {
		return
	}
	across, down, orientation := 1, 1, "portrait"
	if p.tall {
		down = 0 // as many as it takes
	}
	if p.landscape {
		orientation = "landscape"
	}
	yes := true
	size := paperA4
	b.keep(b.file.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: &yes}))
	b.keep(b.file.SetPageLayout(sheet, &excelize.PageLayoutOptions{Size: &size, Orientation: &orientation, FitToWidth: &across, FitToHeight: &down}))
	b.keep(b.file.SetPageMargins(sheet, &excelize.PageLayoutMarginsOptions{
		Left: number(side), Right: number(side), Top: number(edge), Bottom: number(edge), Header: number(inner), Footer: number(inner), Horizontally: &yes,
	}))
	b.keep(b.file.SetHeaderFooter(sheet, p.headerFooter()))
	b.named(sheet, "_xlnm.Print_Titles", p.repeat)
	b.named(sheet, "_xlnm.Print_Area", p.area)
}

// named gives a range of a sheet one of the names that printing goes by.
func (b *book) named(sheet, name, cells string) {
	if cells != "" {
		b.keep(b.file.SetDefinedName(&excelize.DefinedName{Name: name, RefersTo: quoted(sheet) + "!" + cells, Scope: sheet}))
	}
}

func (p page) headerFooter() *excelize.HeaderFooterOptions {
	return &excelize.HeaderFooterOptions{
		OddHeader: `&L&"Arial,Regular"&9` + literal(p.left, 60) + `&C&"Arial,Bold"&9` + literal(p.middle, 60) + `&R&"Arial,Regular"&9` + literal(p.right, 20),
		OddFooter: `&L&"Arial,Regular"&8` + literal(p.note, 160) + `&R&"Arial,Regular"&8Page &P of &N`,
	}
}

// literal makes text safe among header and footer codes, in at most so many UTF-16 units, since a header may have 255 with
// its codes: & is doubled, a digit cannot join the font size before it, control characters go.
func literal(text string, most int) string {
	var safe strings.Builder
	if text != "" && text[0] >= '0' && text[0] <= '9' {
		safe.WriteByte(' ')
	}
	for _, r := range text {
		if unicode.IsControl(r) {
			r = ' '
		}
		if most -= utf16.RuneLen(r); r == '&' {
			most--
			safe.WriteByte('&')
		}
		if most < 1 {
			return strings.TrimSuffix(safe.String(), "&") + "…"
		}
		safe.WriteRune(r)
	}
	return safe.String()
}

// quoted gives a sheet's name as a reference needs it.
func quoted(sheet string) string { return "'" + strings.ReplaceAll(sheet, "'", "''") + "'" }

func number(v float64) *float64 { return &v }
