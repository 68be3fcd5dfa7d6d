package exports

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
)

// writeCSV writes a table as CSV (RFC 4180): lines end in CR LF, fields are quoted where they need it. Dates are YYYY-MM-DD, instants
// RFC 3339 in UTC, masses grams with three decimals, money with the currency's decimals.
func (t bookTable) writeCSV(w io.Writer) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	record := make([]string, len(t.heads))
	for c, h := range t.heads {
		record[c] = h.header
	}
	if err := out.Write(record); err != nil {
		return err
	}
	write := func(values []any) error {
		for c, v := range values {
			text, err := csvText(v)
			if err != nil {
				return fmt.Errorf("%s, column %s: %w", t.name, t.heads[c].header, err)
			}
			record[c] = text
		}
		return out.Write(record)
	}
	if err := t.rows(write); err != nil {
		return err
	}
	if t.total != nil {
		if err := write(t.total); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func csvText(value any) (string, error) {
	switch v := value.(type) {
	case nil:
		return "", nil
	case string:
		return guarded(v), nil
	case int:
		return strconv.Itoa(v), nil
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64), nil
	case inGrams:
		return thousandths(int64(v)), nil
	case cash:
		return v.currency.Text(v.minor), nil
	case time.Duration:
		return strconv.FormatFloat(math.Round(v.Minutes()*1000)/1000, 'f', -1, 64), nil
	case calendar.Date:
		return v.String(), nil
	case time.Time:
		return v.UTC().Format(time.RFC3339), nil
	}
	return "", fmt.Errorf("no text for %T", value)
}

func thousandths(v int64) string {
	sign := ""
	if v < 0 {
		sign, v = "-", -v
	}
	return fmt.Sprintf("%s%d.%03d", sign, v/int64(measure.Gram), v%int64(measure.Gram))
}

// guarded puts an apostrophe before text that a spreadsheet program would read as a formula: what begins with = + - @, a tab or a
// carriage return, also in their full-width forms (OWASP, CSV Injection, from memory). Numbers are not text and keep their sign.
func guarded(text string) string {
	if text != "" && strings.ContainsRune("=+-@\t\r\n＝＋－＠", []rune(text)[0]) {
		return "'" + text
	}
	return text
}
