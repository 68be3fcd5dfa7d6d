package orders

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"windingroom/internal/intake"
)

// badFile is what is wrong with one file, row by row.
type badFile struct {
	Name string // empty: the folder as a whole
	Rows []badRow
}

// badRow is a row as it stands in its file, with what is wrong with it.
type badRow struct {
	Line  int // 0: the file as a whole
	Head  []string
	Cells []badCell
	Says  []string
}

type badCell struct {
	Text    string
	AtFault bool
}

// mostRowsShown bounds the rows of a page; the count of all stands above.
const mostRowsShown = 200

// badFiles puts the problems of an import beside the rows that they are about.
func badFiles(problems intake.Problems, text map[string][]byte) (files []badFile, left int) {
	shown := 0
	for _, p := range problems {
		if len(files) == 0 || files[len(files)-1].Name != p.File {
			files = append(files, badFile{Name: p.File})
		}
		f := &files[len(files)-1]
		if n := len(f.Rows); n == 0 || f.Rows[n-1].Line != p.Line {
			if shown++; shown > mostRowsShown {
				left++
				continue
			}
			head, cells := rowAt(text[p.File], p.Line)
			f.Rows = append(f.Rows, badRow{Line: p.Line, Head: head, Cells: cells})
		} else if shown > mostRowsShown {
			continue
		}
		row := &f.Rows[len(f.Rows)-1]
		says := p.Text
		if p.Column != "" {
			says = p.Column + ": " + p.Text
		}
		row.Says = append(row.Says, says)
		if i := slices.Index(row.Head, p.Column); i >= 0 && i < len(row.Cells) {
			row.Cells[i].AtFault = true
		}
	}
	return slices.DeleteFunc(files, func(f badFile) bool { return len(f.Rows) == 0 }), left
}

// rowAt gives the heads of a file and the record that begins on a line, as far as they can be read.
func rowAt(text []byte, line int) (head []string, cells []badCell) {
	if line < 1 {
		return nil, nil
	}
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	head = record(text)
	for i, h := range head {
		head[i] = strings.TrimSpace(h)
	}
	rest := text
	for range line - 1 {
		end := bytes.IndexByte(rest, '\n')
		if end < 0 {
			return head, nil
		}
		rest = rest[end+1:]
	}
	for _, c := range record(rest) {
		cells = append(cells, badCell{Text: shorten(c)})
	}
	for i := len(head); i < len(cells); i++ {
		head = append(head, fmt.Sprintf("column %d", i+1))
	}
	return head, cells
}

// record reads the first record of a text.
func record(text []byte) []string {
	r := csv.NewReader(bytes.NewReader(text[:min(len(text), longestRecord)]))
	r.LazyQuotes, r.FieldsPerRecord = true, -1
	fields, _ := r.Read() // what cannot be read is not shown; the problem says why
	return fields
}

const (
	longestRecord = 64 << 10 // bytes that are looked at for one row
	longestShown  = 60       // characters of one field
)

func shorten(text string) string {
	text = strings.ToValidUTF8(text, "\ufffd")
	if utf8.RuneCountInString(text) <= longestShown {
		return text
	}
	return string([]rune(text)[:longestShown]) + "…"
}
