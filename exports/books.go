package exports

import (
	"archive/zip"
	"cmp"
	"fmt"
	"io"
	"strings"

	"github.com/xuri/excelize/v2"

	"windingroom/internal/workshop"
)

// Books writes the books of a month or a year as a workbook: the sheets of the contract, then what else a bookkeeper asks for. Masses are in
// grams exact to the milligram, money in the shop's currency; totals are values. The file goes to w as
// it is compressed, so that memory does not grow with the ledger. An error may come after a part of the file was written.
func Books(w io.Writer, b *workshop.Books) error {
	tables := bookTables(b)
	names := make([]string, len(tables))
	for i, t := range tables {
		names[i] = t.name
	}
	out := newBook("Books "+b.Name(), names[0], names[1:]...)
	for _, t := range tables {
		out.table(t, page{left: b.Shop, right: b.Name()})
	}
	return out.streamTo(w)
}

// BooksCSV writes the same tables as CSV, each to the writer that create gives for its file's name, such as roll-forward.csv.
func BooksCSV(b *workshop.Books, create func(name string) (io.WriteCloser, error)) error {
	for _, t := range bookTables(b) {
		w, err := create(strings.ReplaceAll(strings.ToLower(t.name), " ", "-") + ".csv")
		if err != nil {
			return err
		}
		if err := cmp.Or(t.writeCSV(w), w.Close()); err != nil {
			_ = w.Close()
			return fmt.Errorf("%s: %w", t.name, err)
		}
	}
	return nil
}

// streamTo writes the finished workbook without holding it: the library compresses into a buffer of its own unless it is handed
// another writer.
func (b *book) streamTo(w io.Writer) error {
	if b.err == nil {
		b.file.SetZipWriter(func(io.Writer) excelize.ZipWriter { return &rowsInto{Writer: zip.NewWriter(w), rows: b.rows} })
	}
	return b.writeTo(io.Discard)
}

// bookTables are the sheets in their order.
func bookTables(b *workshop.Books) []bookTable {
	k := ledgerBook{b}
	tables := []bookTable{k.rollForward(), k.movements(), k.valuation(), k.purchases(), k.orderCost(), k.variance(), k.checks(),
		k.notInvoiced(), k.byAge(), k.slow(), k.remnants(), k.byMethod(), k.causes(), k.journal(), k.journalDetail()}
	if b.From != b.To {
		tables = append(tables, k.months())
	}
	return tables
}
