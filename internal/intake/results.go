package intake

import (
	"io"
	"strconv"
	"strings"
	"time"
)

// Results is a file of winding results, taken apart but not yet compared with the batches.
type Results struct {
	Rows   []ResultRow
	report report
}

// ResultRow is one row of a file of winding results.
type ResultRow struct {
	Line      int  // physical line on which the row starts
	Bad       bool // something about it was told
	Batch     string
	Good      int
	Scrapped  int
	Minutes   time.Duration
	Person    string
	Continues bool // the batch goes on another day
	Spools    []SpoolStrings
}

// SpoolStrings says for how many strings wire was taken from a spool.
type SpoolStrings struct {
	Spool   string
	Strings int
}

// resultsSpec is the file of winding results. It is no file of an import folder.
var resultsSpec = spec{"results.csv", []string{"batch", "good", "scrapped", "minutes", "person", "continues", "spools"}, 2}

// maxStrings bounds the strings of one result.
const maxStrings = 100_000

// ReadResults reads a file of winding results: batch, good, scrapped, minutes, person, and where needed continues (yes or no) and
// spools (S1:10;S2:5). name is how problems call the file.
func ReadResults(name string, r io.Reader) *Results {
	results := &Results{report: report{name: name}}
	readTable(r, resultsSpec, &results.report, func(row *row) {
		result := ResultRow{
			Line:     row.line,
			Batch:    row.code("batch"),
			Good:     row.whole("good", 0, maxStrings),
			Scrapped: row.whole("scrapped", 0, maxStrings),
			Minutes:  row.minutes("minutes", 0, 24*time.Hour, "from 0 to 1440"),
			Person:   row.words("person", "who wound"),
			Spools:   row.spools("spools"),
		}
		if _, given := row.given("continues"); given {
			result.Continues = row.yes("continues")
		}
		result.Bad = row.at().bad
		results.Rows = append(results.Rows, result)
	})
	return results
}

// Fail tells what else is wrong with a row.
func (r *Results) Fail(row ResultRow, column, text string) {
	r.report.add(row.Line, column, "%s", text)
}

// Problems gives what is wrong so far, by line.
func (r *Results) Problems() Problems { return r.report.with(report{}) }

// spools reads S1:10;S2:5, which may be empty.
func (r *row) spools(column string) []SpoolStrings {
	text, ok := r.given(column)
	if !ok {
		return nil
	}
	list, wrong := ParseSpoolStrings(text)
	if wrong != "" {
		r.fail(column, "%s", wrong)
	}
	return list
}

// ParseSpoolStrings reads spools with numbers of strings, as S1:10;S2:5, or says what is wrong with the text.
func ParseSpoolStrings(text string) (list []SpoolStrings, wrong string) {
	for _, part := range strings.Split(text, ";") {
		if part = strings.TrimSpace(part); part == "" {
			continue
		}
		spool, number, _ := strings.Cut(part, ":")
		spool = strings.TrimSpace(spool)
		n, err := strconv.Atoi(strings.TrimSpace(number))
		switch {
		case spool == "" || badCode(spool) != "":
			return nil, strconv.Quote(excerpt(part)) + " names no spool; write spools as S1:10;S2:5"
		case err != nil || n < 1 || n > maxStrings:
			return nil, strconv.Quote(excerpt(part)) + " gives no number of strings from 1 to 100000; write spools as S1:10;S2:5"
		}
		list = append(list, SpoolStrings{strings.Clone(spool), n})
	}
	return list, ""
}
