package exports

import (
	"bufio"
	"fmt"
	"io"
	"regexp"
	"time"

	"github.com/xuri/excelize/v2"

	"windingroom/internal/calendar"
)

// book is a workbook being written. The first error sticks and every later call does nothing, so that code which lays out
// a page reads as a page; writeTo gives the error back.
type book struct {
	file   *excelize.File
	styles map[style]int
	png    pngWorkspace
	rows   map[string]func(*bufio.Writer) error // of sheets whose rows are written with the file, by its name
	err    error
}

// newBook starts a workbook with these sheets, the first of them open.
func newBook(title, first string, more ...string) *book {
	b := &book{file: excelize.NewFile(), styles: map[style]int{}, rows: map[string]func(*bufio.Writer) error{}}
	b.keep(b.file.SetSheetName("Sheet1", first))
	for _, name := range more {
		b.sheet(name)
	}
	b.defaultFont()
	// Without these the library's own author and date would stand in the file. No person is named.
	b.keep(b.file.SetDocProps(&excelize.DocProperties{Title: title, Creator: "Winding Room", LastModifiedBy: "Winding Room"}))
	return b
}

// defaultFont sets the font that column widths are counted in. Arial of 10 points has digits 7 pixels wide, which is also
// what the library assumes when it places a picture; fonts of the same widths stand in for it everywhere.
func (b *book) defaultFont() {
	b.keep(b.file.SetDefaultFont(fontName))
	if b.err == nil {
		size := 10.0
		b.file.Styles.Fonts.Font[0].Sz.Val = &size
	}
}

func (b *book) sheet(name string) {
	_, err := b.file.NewSheet(name)
	b.keep(err)
}

// keep remembers the first error.
func (b *book) keep(err error) {
	if b.err == nil {
		b.err = err
	}
}

// writeTo writes the finished workbook.
func (b *book) writeTo(w io.Writer) error {
	if b.err == nil {
		_, err := b.file.WriteTo(w)
		b.keep(err)
	}
	b.keep(b.file.Close())
	if b.err != nil {
		return fmt.Errorf("workbook: %w", b.err)
	}
	return nil
}

// set writes a value into a cell: text as text, a number as a number, a date as a day number, a duration as a share of a
// day; nil and no date leave the cell empty.
func (b *book) set(sheet, cell string, value any) {
	if b.err != nil {
		return
	}
	switch v := value.(type) {
	case nil:
	case string:
		b.setText(sheet, cell, v)
	case int:
		b.keep(b.file.SetCellInt(sheet, cell, int64(v)))
	case float64:
		b.keep(b.file.SetCellFloat(sheet, cell, v, -1, 64))
	case time.Duration:
		b.keep(b.file.SetCellFloat(sheet, cell, float64(v)/float64(24*time.Hour), -1, 64))
	case calendar.Date:
		if !v.IsZero() {
			b.keep(b.file.SetCellInt(sheet, cell, int64(v-dayZero)))
		}
	case []excelize.RichTextRun:
		b.keep(b.file.SetCellRichText(sheet, cell, v))
	default:
		b.keep(fmt.Errorf("%s!%s: no cell type for %T", sheet, cell, value))
	}
}

// maxText is the most UTF-16 units a cell may hold.
const maxText = 32767

// escape is how the file format spells a character that XML cannot hold; a text that happens to hold one must not turn
// into that character.
var escape = regexp.MustCompile(`_x[0-9A-Fa-f]{4}_`)

// setText writes text. The library guards escapes in rich text only, so a text with one is written as one rich run.
func (b *book) setText(sheet, cell, text string) {
	text = cut(text, maxText)
	if escape.MatchString(text) {
		b.keep(b.file.SetCellRichText(sheet, cell, []excelize.RichTextRun{{Text: text}}))
		return
	}
	b.keep(b.file.SetCellStr(sheet, cell, text))
}

// dayZero is the day that workbooks number 0. The numbering is off by one before 1 March 1900, long before any date here.
var dayZero = calendar.NewDate(1899, time.December, 30)

// at names the cell of a column and row, both from 1.
func at(column, row int) string {
	name, err := excelize.CoordinatesToCellName(column, row)
	if err != nil { // only for a column or row beyond a sheet's limits, which the layout never reaches
		return ""
	}
	return name
}
