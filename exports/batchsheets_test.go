package exports

import (
	"bytes"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
	"windingroom/internal/testkit"
)

func TestGoldenCells(t *testing.T) {
	testkit.Golden(t, "testdata/batchsheets.txt", dump(t, written(t, smallDay())))
}

func TestSameDaySameCells(t *testing.T) {
	first, second := dump(t, written(t, smallDay())), dump(t, written(t, smallDay()))
	if !bytes.Equal(first, second) {
		t.Error("the same day gave different cells")
	}
}

func TestHeaderRowsAreTheContract(t *testing.T) {
	tests := []struct {
		sheet string
		want  string
		more  bool // further columns may follow
	}{
		{dayName, "machine, sequence, batch, recipe, gauge_thou, scale_in, strings_ordered, strings_to_wind, setup_min, run_min, start, end, version", false},
		{drawsName, "batch, spool, wire, lot, strings, mass_g, spool_before_g, spool_after_g", true},
	}
	for _, day := range []batch.Day{{}, smallDay()} {
		f := written(t, day)
		for _, tt := range tests {
			got := strings.Join(table(t, f, tt.sheet)[0], ", ")
			if got != tt.want && (!tt.more || !strings.HasPrefix(got, tt.want+", ")) {
				t.Errorf("%s with %d batches: header %s, want %s", tt.sheet, len(day.Sheets), got, tt.want)
			}
		}
	}
}

func TestEmptyDayHasHeadersOnly(t *testing.T) {
	f := written(t, batch.Day{Shop: "Quay Strings", Date: calendar.NewDate(2026, time.March, 1)})
	if got := f.GetSheetList(); !slices.Equal(got, []string{dayName, drawsName}) {
		t.Errorf("sheets %q, want Day and Draws", got)
	}
	for _, sheet := range []string{dayName, drawsName} {
		if rows := table(t, f, sheet); len(rows) != 1 {
			t.Errorf("%s has %d rows, want the header alone", sheet, len(rows))
		}
	}
}

func TestDrawMassesAreExact(t *testing.T) {
	day := smallDay()
	// Masses whose thousandths a binary fraction cannot hold, from a milligram to a tonne.
	for i, mg := range []measure.Mass{1, 2, 7, 999, 1001, 123_456_789, 999_999_999_999} {
		day.Sheets[i%3].Spools = append(day.Sheets[i%3].Spools, spool("9", "W", "L", "here", 1, mg, mg+1, 3))
	}
	var want measure.Mass
	for _, s := range day.Sheets {
		for _, d := range s.Spools {
			want += d.Mass
		}
	}
	var got measure.Mass
	rows := table(t, written(t, day), drawsName)[1:]
	for i, row := range rows {
		mass, before, after := grams(t, row[5]), grams(t, row[6]), grams(t, row[7])
		got += mass
		if before-mass != after {
			t.Errorf("row %d: %s − %s is not %s", i+2, row[6], row[5], row[7])
		}
	}
	if got != want {
		t.Errorf("mass_g adds up to %d mg, want %d", got, want)
	}
}

// grams reads a cell and fails if it holds more than whole milligrams.
func grams(t *testing.T, text string) measure.Mass {
	t.Helper()
	m, err := measure.ParseGrams(text)
	if err != nil {
		t.Fatal(err)
	}
	if m.GramText() != text {
		t.Errorf("%s g is not exact to the milligram", text)
	}
	return m
}

// hostile are texts that a spreadsheet or its file format could take for something else.
var hostile = []string{
	"=1+1", "+1+1", "-1+1", "@SUM(A1)", "=HYPERLINK(\"http://127.0.0.1\",\"x\")", "\t=1", "'=1", "007", "1e5", "2026-03-02",
	"TRUE", "#REF!", "_x0041_", "_x005F_x0041_", "_x0041x0042_", "<b>&amp;</b>", "&P&A&\"Arial\"", "  edge  ", "größe ♯ 弦", strings.Repeat("w", 32_767),
}

func TestTextStaysText(t *testing.T) {
	for _, word := range hostile {
		day := batch.Day{Shop: word, Date: calendar.NewDate(2026, time.March, 2), Sheets: []batch.Sheet{spelled(word)}}
		f := written(t, day)
		for _, sheet := range f.GetSheetList() {
			for r, row := range table(t, f, sheet) {
				for c := range row {
					if kind, _ := cellKind(t, f, sheet, at(c+1, r+1)); kind == "formula" {
						t.Errorf("%q: %s!%s is a formula", word, sheet, at(c+1, r+1))
					}
				}
			}
		}
		for _, cell := range []string{"Day!A2", "Day!C2", "Day!D2", "Draws!A2", "Draws!B2", "Draws!C2", "Draws!D2", "Draws!K2"} {
			sheet, name, _ := strings.Cut(cell, "!")
			kind, format := cellKind(t, f, sheet, name)
			if got, err := f.GetCellValue(sheet, name); err != nil || got != word || kind != "text" || format != asText {
				t.Errorf("%s = %q (%s, %s) %v, want the text %q", cell, got, kind, format, err, word)
			}
		}
	}
}

// spelled is a batch in which a person's word stands everywhere it can.
func spelled(word string) batch.Sheet {
	s := woundSheet()
	s.Code, s.Machine, s.Recipe = batch.Code(word), catalog.MachineCode(word), catalog.RecipeCode(word)
	s.Core.AlloyName, s.Core.Wire = word, material.WireCode(word)
	s.Cautions = []batch.Caution{{Before: word}}
	s.Spools = []batch.SpoolDraw{spool("", word, word, word, 1, 1, 2, 3)}
	s.Spools[0].Spool = stock.SpoolCode(word)
	s.For = []batch.For{serves(word, 1, 1, 1, word, word, 0)}
	return s
}

func TestNoPersonInTheProperties(t *testing.T) {
	props, err := written(t, smallDay()).GetDocProps()
	if err != nil {
		t.Fatal(err)
	}
	if props.Creator != "Winding Room" || props.LastModifiedBy != "Winding Room" || props.Title != "Batch sheets 2026-03-02" {
		t.Errorf("properties %+v", props)
	}
}

func TestHeaderRowsFreeze(t *testing.T) {
	f := written(t, smallDay())
	for _, sheet := range []string{dayName, drawsName} {
		panes, err := f.GetPanes(sheet)
		if err != nil || !panes.Freeze || panes.YSplit != 1 {
			t.Errorf("%s: panes %+v, %v; want the first row frozen", sheet, panes, err)
		}
	}
}

func TestStylesAreMadeOnce(t *testing.T) {
	count := func(sheets int) int {
		day := smallDay()
		for len(day.Sheets) < sheets {
			day.Sheets = append(day.Sheets, smallDay().Sheets...)
		}
		f := written(t, day)
		n := 0
		for {
			if _, err := f.GetStyle(n); err != nil {
				return n
			}
			n++
		}
	}
	if few, many := count(3), count(30); few != many {
		t.Errorf("3 batches need %d styles and 30 need %d", few, many)
	}
}

type brokenWriter struct{}

var errBroken = errors.New("broken pipe")

func (brokenWriter) Write([]byte) (int, error) { return 0, errBroken }

func TestWriteErrorComesBack(t *testing.T) {
	if err := BatchSheets(brokenWriter{}, smallDay()); !errors.Is(err, errBroken) {
		t.Errorf("error %v, want %v", err, errBroken)
	}
}

func TestLongLists(t *testing.T) {
	s := woundSheet()
	for i := range 80 {
		s.For = append(s.For, serves("O-1", i, 1, 1, "Elder Basses", "E2", 0))
	}
	f := written(t, batch.Day{Sheets: []batch.Sheet{s, woundSheet()}})
	for sheet, want := range map[string]int{"260302-bench-1-01": 0, "260302-bench-1-01~2": 1} {
		layout, err := f.GetPageLayout(sheet)
		if err != nil || *layout.FitToHeight != want {
			t.Errorf("%s: %v pages high, want %d (0 is as many as it takes)", sheet, layout.FitToHeight, want)
		}
	}
}

func TestElapsedBeyondADay(t *testing.T) {
	s := plainSheet()
	s.Starts, s.Ends = 0, 25*time.Hour+30*time.Minute
	got, err := written(t, batch.Day{Sheets: []batch.Sheet{s}}).GetCellValue(dayName, "L2", excelize.Options{})
	if err != nil || got != "25:30" {
		t.Errorf("end %q %v, want 25:30", got, err)
	}
}
