package chart

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"windingroom/internal/calendar"
	"windingroom/internal/web/page"
)

var about = About{ID: "pull", Title: "Tension <by> string", Desc: "Six strings; the fourth pulls most.", Unit: "N"}

func format(v float64) string { return fmt.Sprintf("%.1f N", v) }

func columns(t *testing.T) page.Chart {
	t.Helper()
	c, err := Columns(about, []string{"1 E4", "2 B3", "3 G3"}, []Series{{"this set", []float64{72, 68, 75}}, {"the other", []float64{80, 60, 70}}},
		[]Level{{"limit", 90}}, format)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func balance(t *testing.T) page.Chart {
	t.Helper()
	var days []Day
	for i := range 60 {
		d := Day{Date: calendar.NewDate(2026, 3, 2) + calendar.Date(i), Value: 5 - float64(i)*.1}
		d.Low, d.High = d.Value-.02*float64(i), d.Value+.02*float64(i)
		if i == 30 {
			d.Event = "3 kg from ashdell"
		}
		days = append(days, d)
	}
	c, err := Balance(about, days, "9 of 10 days lie in it", []Level{{"order point", 2.5}}, format)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestADrawingIsWellFormedAndHasNoStyle(t *testing.T) {
	for name, c := range map[string]page.Chart{"columns": columns(t), "balance": balance(t)} {
		svg := string(c.SVG)
		d := xml.NewDecoder(strings.NewReader(svg))
		for {
			token, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			e, ok := token.(xml.StartElement)
			for _, a := range e.Attr {
				if ok && (a.Name.Local == "style" || strings.HasPrefix(a.Name.Local, "on") || strings.Contains(a.Value, "#") || strings.Contains(a.Value, "NaN")) {
					t.Errorf("%s: %s has %s=%q", name, e.Name.Local, a.Name.Local, a.Value)
				}
			}
		}
		for _, want := range []string{`<title id="pull-title">Tension &lt;by&gt; string</title>`, `<desc id="pull-desc">`, `aria-labelledby="pull-title"`, `class="line-limit"`} {
			if !strings.Contains(svg, want) {
				t.Errorf("%s lacks %s", name, want)
			}
		}
	}
}

func TestColumnsKeepTheirNumbers(t *testing.T) {
	c := columns(t)
	if n := strings.Count(string(c.SVG), `class="fill-first"`); n != 3 {
		t.Errorf("%d columns of the first series, want 3", n)
	}
	if n := strings.Count(string(c.SVG), `class="fill-second"`); n != 3 {
		t.Errorf("%d columns of the second series, want 3", n)
	}
	if len(c.Table.Rows) != 3 || c.Table.Rows[2][0].Text != "3 G3" || c.Table.Rows[2][1].Text != "75.0 N" || c.Table.Rows[2][2].Text != "70.0 N" {
		t.Errorf("the table holds %v", c.Table.Rows)
	}
	if c.Key[2].Text != "limit 90" {
		t.Errorf("the key is %v", c.Key)
	}
}

func TestBalanceMarksWhatHappens(t *testing.T) {
	c := balance(t)
	if n := strings.Count(string(c.SVG), `class="fill-second"`); n != 1 {
		t.Errorf("%d marks, want 1", n)
	}
	if len(c.Table.Rows) != 60 || c.Table.Rows[30][4].Text != "3 kg from ashdell" {
		t.Errorf("the table holds %d rows", len(c.Table.Rows))
	}
	if !strings.Contains(string(c.SVG), ">9 Mar<") && !strings.Contains(string(c.SVG), ">2 Mar<") {
		t.Error("no Monday is named")
	}
}

func TestWhatCannotBeDrawn(t *testing.T) {
	for name, err := range map[string]error{
		"no groups":    second(Columns(about, nil, []Series{{"a", nil}}, nil, format)),
		"uneven":       second(Columns(about, []string{"1"}, []Series{{"a", []float64{1, 2}}}, nil, format)),
		"not a number": second(Columns(about, []string{"1"}, []Series{{"a", []float64{math.NaN()}}}, nil, format)),
		"one day":      second(Balance(about, []Day{{}}, "", nil, format)),
		"no bound":     second(Balance(about, []Day{{Date: 1}, {Date: 2, High: math.Inf(1)}}, "", nil, format)),
	} {
		if err == nil {
			t.Errorf("%s is drawn", name)
		}
	}
}

func second(_ page.Chart, err error) error { return err }
