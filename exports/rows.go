package exports

import (
	"archive/zip"
	"bufio"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
)

// rowsInto is a zip writer for the library that puts the rows of long sheets in as the file is compressed. The library would hold tens
// of megabytes of a sheet before it goes to the disk; so it writes the sheet with its header row alone, and the rows follow here.
type rowsInto struct {
	*zip.Writer
	rows  map[string]func(*bufio.Writer) error // by the name of the sheet's file
	sheet bytes.Buffer                         // the sheet that is being written, small without its rows
	into  io.Writer
	more  func(*bufio.Writer) error // its rows; nil where a file goes straight through
}

// Create begins a file of the archive.
func (z *rowsInto) Create(name string) (io.Writer, error) {
	if err := z.finish(); err != nil {
		return nil, err
	}
	w, err := z.Writer.Create(name)
	if z.more = z.rows[name]; z.more == nil || err != nil {
		return w, err
	}
	z.into = w
	return &z.sheet, nil
}

// Close ends the archive.
func (z *rowsInto) Close() error { return errors.Join(z.finish(), z.Writer.Close()) }

// finish writes a sheet with its rows after the header row.
func (z *rowsInto) finish() error {
	if z.more == nil {
		return nil
	}
	head, tail, found := bytes.Cut(z.sheet.Bytes(), []byte("</sheetData>"))
	if !found {
		return errors.New("a sheet has no place for its rows")
	}
	out := bufio.NewWriterSize(z.into, 1<<16)
	_, _ = out.Write(head)
	if err := z.more(out); err != nil {
		return err
	}
	_, _ = out.WriteString("</sheetData>")
	_, _ = out.Write(tail)
	z.more = nil
	z.sheet.Reset()
	return out.Flush()
}

// rowXML writes one row of a sheet; a nil value is an empty cell. Errors of out stick and come back from its Flush.
func rowXML(out *bufio.Writer, row int, names []string, values []any, styles []int) error {
	number := strconv.Itoa(row)
	_, _ = out.WriteString(`<row r="` + number + `">`)
	for c, value := range values {
		text, isText, err := cellText(value)
		if err != nil {
			return fmt.Errorf("%s%s: %w", names[c], number, err)
		}
		_, _ = out.WriteString(`<c r="` + names[c] + number + `" s="` + strconv.Itoa(styles[c]) + `"`)
		switch {
		case isText:
			_, _ = out.WriteString(` t="inlineStr"><is><t xml:space="preserve">`)
			if err := xml.EscapeText(out, []byte(text)); err != nil {
				return err
			}
			_, _ = out.WriteString(`</t></is></c>`)
		case text == "":
			_, _ = out.WriteString(`/>`)
		default:
			_, _ = out.WriteString(`><v>` + text + `</v></c>`)
		}
	}
	_, err := out.WriteString(`</row>`)
	return err
}

// cellText gives a value as it stands in a sheet's file. Text is text, whatever it begins with; what looks like an escaped character has its
// underscore escaped, so that it is read as it was written.
func cellText(value any) (text string, isText bool, err error) {
	v, err := cellValue(value)
	switch v := v.(type) {
	case int:
		return strconv.Itoa(v), false, err
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return "", false, errors.New("no number")
		}
		return strconv.FormatFloat(v, 'f', -1, 64), false, err
	case string:
		return escape.ReplaceAllStringFunc(cut(v, maxText), func(e string) string { return "_x005F" + e }), true, err
	}
	return "", false, err
}
