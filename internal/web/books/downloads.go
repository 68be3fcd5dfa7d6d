package books

import (
	"archive/zip"
	"errors"
	"io"

	"windingroom/exports"
	"windingroom/internal/costing"
	"windingroom/internal/problem"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

func (p place) monthBook(r *page.Request) (page.Reply, error) {
	m, err := monthOf(r)
	return p.workbook(r, m, m, m.String(), err)
}

func (p place) monthCSV(r *page.Request) (page.Reply, error) {
	m, err := monthOf(r)
	return p.csv(r, m, m, m.String(), err)
}

func (p place) yearBook(r *page.Request) (page.Reply, error) {
	m, err := yearOf(r)
	return p.workbook(r, m, m+11, r.Param("year"), err)
}

func (p place) yearCSV(r *page.Request) (page.Reply, error) {
	m, err := yearOf(r)
	return p.csv(r, m, m+11, r.Param("year"), err)
}

// yearOf gives January of the year in the path.
func yearOf(r *page.Request) (costing.Period, error) {
	m, err := costing.ParsePeriod(r.Param("year") + "-01")
	if err != nil {
		return 0, problem.At("year", errors.New("is not a year such as 2026"))
	}
	return m, nil
}

func (p place) workbook(r *page.Request, from, to costing.Period, name string, err error) (page.Reply, error) {
	return page.LongFile("books-"+name+".xlsx", page.Workbook, func(w io.Writer) error {
		return p.shop.Books(r.Ctx(), from, to, func(b *workshop.Books) error { return exports.Books(w, b) })
	}), err
}

// csv answers with the lists of the books as CSV files, in one file to keep.
func (p place) csv(r *page.Request, from, to costing.Period, name string, err error) (page.Reply, error) {
	return page.LongFile("books-"+name+"-csv.zip", page.Zip, func(w io.Writer) error {
		return p.shop.Books(r.Ctx(), from, to, func(b *workshop.Books) error { return zipped(w, b) })
	}), err
}

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
