package intake

import (
	"slices"
	"strings"
	"testing"
	"time"
)

func TestReadResults(t *testing.T) {
	r := ReadResults("monday.csv", strings.NewReader("person,batch,good,scrapped,minutes,spools,continues\n"+
		"Ines,B1,10,1,12.5,S1:10; S2:1,yes\n\nBo,B2,0,0,0,,\n"))
	want := []ResultRow{
		{Line: 2, Batch: "B1", Good: 10, Scrapped: 1, Minutes: 750 * time.Second, Person: "Ines", Continues: true, Spools: []SpoolStrings{{"S1", 10}, {"S2", 1}}},
		{Line: 4, Batch: "B2", Person: "Bo"},
	}
	if len(r.Problems()) > 0 || !slices.EqualFunc(r.Rows, want, func(a, b ResultRow) bool {
		return a.Line == b.Line && a.Batch == b.Batch && a.Good == b.Good && a.Scrapped == b.Scrapped && a.Minutes == b.Minutes && a.Person == b.Person &&
			a.Continues == b.Continues && slices.Equal(a.Spools, b.Spools) && !a.Bad
	}) {
		t.Errorf("got %+v, %v", r.Rows, r.Problems())
	}
}

func TestReadResultsTellsEveryBadRow(t *testing.T) {
	r := ReadResults("bad.csv", strings.NewReader("batch,good,scrapped,minutes,person,continues,spools\n"+
		"B1,-1,0,1,Ines,,\nB2,1,x,1,Ines,,\nB3,1,0,1441,Ines,,\nB4,1,0,1,,,\nB5,1,0,1,Ines,perhaps,\nB6,1,0,1,Ines,,S1\nB7,1,0,1,Ines,,:3\n,1,0,1,Ines,,\nB8,1,0,1,Ines,,S1:1\n"))
	got := make([]string, 0, 8)
	for _, p := range r.Problems() {
		place, _, _ := strings.Cut(p.String(), " ")
		got = append(got, place)
	}
	want := []string{"bad.csv:2:good:", "bad.csv:3:scrapped:", "bad.csv:4:minutes:", "bad.csv:5:person:", "bad.csv:6:continues:", "bad.csv:7:spools:", "bad.csv:8:spools:", "bad.csv:9:batch:"}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
	for i, row := range r.Rows {
		if row.Bad != (i < 8) {
			t.Errorf("row %d is bad: %v", i, row.Bad)
		}
	}
	if missing := ReadResults("m.csv", strings.NewReader("batch,good\nB1,1\n")).Problems(); len(missing) != 3 {
		t.Errorf("three columns are missing, told %v", missing)
	}
}

func FuzzParseSpoolStrings(f *testing.F) {
	for _, seed := range []string{"S1:10;S2:5", "", ";", "S1", "S1:0", "S1:1:2", " S1 : 3 ", "S1:99999999999999999999"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		list, wrong := ParseSpoolStrings(text)
		if wrong != "" && list != nil {
			t.Errorf("%q is wrong (%s) and gives %v", text, wrong, list)
		}
		for _, s := range list {
			if s.Strings < 1 || s.Spool == "" || badCode(s.Spool) != "" {
				t.Errorf("%q gives %+v", text, s)
			}
		}
	})
}

func FuzzReadResults(f *testing.F) {
	f.Add("batch,good,scrapped,minutes,person\nB1,10,1,12.5,Ines\n")
	f.Add("batch,good,scrapped,minutes,person,continues,spools\nB1,10,1,12.5,Ines,yes,S1:11\n")
	f.Fuzz(func(t *testing.T, text string) {
		r := ReadResults("f.csv", strings.NewReader(text))
		if len(r.Problems()) > 0 {
			return
		}
		for _, row := range r.Rows {
			if row.Bad || row.Batch == "" || row.Person == "" || row.Good < 0 || row.Scrapped < 0 || row.Minutes < 0 {
				t.Errorf("without a problem: %+v", row)
			}
		}
	})
}
