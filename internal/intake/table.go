package intake

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"
)

// maxRecord bounds one record in bytes, so that a quote that is never closed does not read the whole file into memory.
const maxRecord = 1 << 20

var errTooLong = errors.New("record is too long")

// guard fails once more than left bytes were asked of it since left was last set.
type guard struct {
	r    io.Reader
	left int
}

func (g *guard) Read(p []byte) (int, error) {
	if g.left <= 0 {
		return 0, errTooLong
	}
	n, err := g.r.Read(p[:min(len(p), g.left)])
	g.left -= n
	return n, err
}

// table reads the records of one file.
type table struct {
	spec   spec
	report *report
	guard  *guard
	csv    *csv.Reader
	places []int // where each column of the spec stands in a record, -1 where it was left out
	width  int   // fields in the header
	line   int   // where the record read last starts
	broken bool  // the record read last is only its sound beginning; the rest was reported
	unread bool  // some rows could not be read at all, so nobody knows which codes they name
}

// readTable gives every record to use, with the problems of its text already told. It says whether every row was seen.
func readTable(r io.Reader, s spec, rep *report, use func(*row)) bool {
	t := &table{spec: s, report: rep, guard: &guard{r: r, left: maxRecord}}
	in := bufio.NewReaderSize(t.guard, 64<<10)
	start, _ := in.Peek(3)
	switch {
	case bytes.HasPrefix(start, []byte{0xff, 0xfe}), bytes.HasPrefix(start, []byte{0xfe, 0xff}):
		rep.add(1, s.columns[0], "the file is UTF-16; save it as UTF-8 (CSV UTF-8)")
		return false
	case bytes.HasPrefix(start, []byte("\ufeff")):
		_, _ = in.Discard(3) // they were peeked, so they are there
	}
	t.csv = csv.NewReader(in)
	t.csv.FieldsPerRecord = -1
	t.csv.ReuseRecord = true
	if !t.readHeader() {
		return false
	}
	row := &row{spec: s, report: rep, fields: make([]string, len(s.columns))}
	for {
		record, more := t.next()
		if !more {
			return !t.unread
		}
		if t.broken || !blank(record) {
			t.load(row, record)
			use(row)
		}
	}
}

// next reads one record. There is no more at the end of the file, or where it cannot be read on, which is reported.
func (t *table) next() (record []string, more bool) {
	t.guard.left = maxRecord
	record, err := t.csv.Read()
	if err != nil {
		return record, t.explain(err, len(record))
	}
	t.line, _ = t.csv.FieldPos(0)
	t.broken = false
	return record, true
}

// explain reports why a record could not be read after so many fields, and says whether there may be more records.
func (t *table) explain(err error, fields int) (more bool) {
	var parse *csv.ParseError
	switch {
	case errors.As(err, &parse):
		t.line, t.broken = parse.StartLine, true
		t.unread = t.unread || parse.Line > parse.StartLine
		t.reportQuote(parse, fields)
		return true
	case errors.Is(err, io.EOF):
		return false
	case errors.Is(err, errTooLong):
		t.report.add(t.line+1, t.columnAt(0), "a record from here on is longer than %d bytes; is a quote left open?", maxRecord)
	default:
		t.report.add(t.line+1, t.columnAt(0), "cannot be read on: %s", plain(err))
	}
	t.unread = true
	return false
}

func (t *table) reportQuote(e *csv.ParseError, field int) {
	column := t.columnAt(field)
	switch {
	case errors.Is(e.Err, csv.ErrBareQuote):
		t.report.add(t.line, column, "has a quote inside; put the whole field in quotes and double each quote in it")
	case e.Line > e.StartLine:
		t.report.add(t.line, column, "has a quote that is not closed by line %d, or not doubled inside the field", e.Line)
	default:
		t.report.add(t.line, column, "has a quote that is not closed, or not doubled inside the field")
	}
}

// columnAt names the column of the i-th field of a record, or the nearest one before it.
func (t *table) columnAt(i int) string {
	nearest, best := t.spec.columns[0], -1
	for c, place := range t.places {
		if place <= i && place > best {
			nearest, best = t.spec.columns[c], place
		}
	}
	return nearest
}

// load puts a record's fields in the order of the spec and reports text that no field may have. Of a record with missing or
// surplus fields only the code in the first column is still read, so that other rows may refer to it.
func (t *table) load(r *row, record []string) {
	r.line, r.faulty = t.line, 0
	switch n := len(record); {
	case t.broken:
		r.faulty = ^columnSet(1)
	case n < t.width:
		r.fail(t.columnAt(n), "the row has %d fields where the header has %d", n, t.width)
		r.faulty = ^columnSet(1)
	case n > t.width:
		r.fail(t.columnAt(t.width-1), "the row has %d fields where the header has %d; put a field with commas in quotes", n, t.width)
		r.faulty = ^columnSet(1)
	}
	for c, place := range t.places {
		r.fields[c] = ""
		if place < 0 {
			continue
		}
		if place >= len(record) {
			r.faulty |= 1 << c
			continue
		}
		if wrong := badText(record[place]); wrong != "" {
			r.fail(r.spec.columns[c], "%s", wrong)
		}
		r.fields[c] = strings.TrimSpace(record[place])
	}
}

func blank(record []string) bool {
	for _, field := range record {
		if strings.TrimSpace(field) != "" {
			return false
		}
	}
	return true
}
