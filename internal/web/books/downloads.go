package books

import (
	"archive/zip"
	"bufio"
	"cmp"
	"context"
	"errors"
	"io"
	"strings"

	"windingroom/exports"
	"windingroom/internal/costing"
	"windingroom/internal/httpd"
	"windingroom/internal/money"
	"windingroom/internal/problem"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// export is a file of books: a month's or a year's, as a workbook or as CSV files in one archive.
type export struct {
	of       string // 2026-02, or 2026
	from, to costing.Period
	csv      bool
	all      bool // also where a check differs
}

// exportOf reads which books are meant.
func exportOf(of string, csv, all bool) (export, error) {
	m, err := costing.ParsePeriod(of)
	if err == nil {
		return export{of, m, m, csv, all}, nil
	}
	if m, year := costing.ParsePeriod(of + "-01"); year == nil {
		return export{of, m, m + 11, csv, all}, nil
	}
	if len(of) <= len("2026") {
		return export{}, problem.At("year", errors.New("is not a year such as 2026"))
	}
	return export{}, problem.At("month", err)
}

// words names the file: workbook of February 2026.
func (e export) words() string {
	form, of := "workbook", e.of
	if e.csv {
		form = "CSV"
	}
	if e.from == e.to {
		of = named(e.from)
	}
	return form + " of " + of
}

// file gives the file's name and its media type.
func (e export) file() (name, media string) {
	if e.csv {
		return "books-" + e.of + "-csv.zip", page.Zip
	}
	return "books-" + e.of + ".xlsx", page.Workbook
}

// address is where the file comes at once.
func (e export) address() string {
	to := "/books/years/" + e.of
	if e.from == e.to {
		to = monthPath(e.from)
	}
	to += "/books.xlsx"
	if e.csv {
		to = to[:len(to)-len("xlsx")] + "zip"
	}
	if e.all {
		to += "?unreconciled=true"
	}
	return to
}

// button asks for the file.
func (e export) button(text string) page.Action {
	form, all := "xlsx", ""
	if e.csv {
		form = "csv"
	}
	if e.all {
		all = "true"
	}
	return page.Button(text, "/books/exports", "of", e.of, "as", form, "unreconciled", all).As("second")
}

// progress is told how far an export is: movements of the ledger read, and written.
type progress struct {
	read, written func(done, of int)
}

// write writes the file to a scratch file. Books that are off are not written unless all are asked for.
func (e export) write(ctx context.Context, shop Shop, p progress) (file *httpd.ScratchFile, size int64, err error) {
	if file, err = httpd.Scratch(); err != nil {
		return nil, 0, err
	}
	buffer := bufio.NewWriterSize(file, 1<<16)
	err = shop.WatchBooks(ctx, e.from, e.to, p.read, func(b *workshop.Books) error {
		if err := b.Reconciled(); err != nil && !e.all {
			return booksOff{err, off(b.Checks), b.Currency}
		}
		b.Movements = counted(ctx, b, p.written)
		if e.csv {
			return zipped(buffer, b)
		}
		return exports.Books(buffer, b)
	})
	if err = cmp.Or(err, buffer.Flush()); err == nil {
		size, err = file.Seek(0, io.SeekCurrent)
	}
	if err != nil {
		_ = file.Close()
		return nil, 0, err
	}
	return file, size, nil
}

// counted hands out the movements, tells how many were, and stops when nobody wants them any more.
func counted(ctx context.Context, b *workshop.Books, written func(done, of int)) func(func(workshop.LedgerLine) error) error {
	hand := b.Movements
	return func(do func(workshop.LedgerLine) error) error {
		const often = 500
		done := 0
		return hand(func(l workshop.LedgerLine) error {
			if done++; done%often == 0 {
				if written != nil {
					written(done, b.Moved)
				}
				if err := ctx.Err(); err != nil {
					return err
				}
			}
			return do(l)
		})
	}
}

// booksOff says of which books a check differs.
type booksOff struct {
	error
	checks   []workshop.Check
	currency money.Currency
}

func (b booksOff) Unwrap() error { return b.error }

func zipped(w io.Writer, b *workshop.Books) error {
	archive := zip.NewWriter(w)
	err := exports.BooksCSV(b, func(name string) (io.WriteCloser, error) {
		file, err := archive.Create(name)
		return entry{file}, err
	})
	return errors.Join(err, archive.Close())
}

// entry is a file in an archive; the next one closes it.
type entry struct{ io.Writer }

func (entry) Close() error { return nil }

// download answers with the file at once.
func (p place) download(csv bool) page.Handler {
	return func(r *page.Request) (page.Reply, error) {
		e, err := exportOf(cmp.Or(r.Param("month"), r.Param("year")), csv, r.Query("unreconciled") == "true")
		if err != nil {
			return page.Reply{}, err
		}
		file, size, err := e.write(r.Ctx(), p.shop, progress{})
		if err != nil {
			return p.refusedOff(r, e, err)
		}
		name, media := e.file()
		return page.LongFile(name, media, size, io.NewSectionReader(file, 0, size), func() { _ = file.Close() }), nil
	}
}

// fileLinks are the files of some books, or why there are none.
type fileLinks struct {
	Off  string
	Acts []page.Action
}

// filesOf are the files of a month, of which those are kept back that do not tie out.
func filesOf(b *workshop.Books) fileLinks {
	e := export{of: b.From.String(), from: b.From, to: b.To}
	if b.Reconciled() == nil {
		return fileLinks{Acts: e.buttons()}
	}
	e.all = true
	return fileLinks{Off: "Books of which a check differs are kept back.", Acts: []page.Action{page.Link("Look at the checks", monthPath(b.From)+"/checks?off=yes"), e.button("Get the workbook all the same").As("quiet")}}
}

// buttons are the two forms in which books leave.
func (e export) buttons() []page.Action {
	book, csv := e, e
	csv.csv = true
	return []page.Action{book.button(capital(book.words())), csv.button(csv.words())}
}

func capital(text string) string { return strings.ToUpper(text[:1]) + text[1:] }
