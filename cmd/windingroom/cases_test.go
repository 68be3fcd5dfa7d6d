package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"windingroom/internal/testkit"
	"windingroom/testdata/scenario"
)

// orderDesk are the worked cases of testdata/orderdesk/cases.md, which this test writes and holds to what the program answers.
var orderDesk = []struct{ title, story, command, question string }{
	{"The same set in nickel", "Inga Stroud plays harbour-6 and asks for it in pure nickel, same feel. The desk offers only what can be wound from the shelf.",
		"match", `{"set": "harbour-6", "alloy": "nickel", "tolerance_percent": 5, "held_only": true}`},
	{"Phosphor bronze on a guitar with a magnetic pickup", "Hobb Lane Music School wants quarry-6, now 80/20, in phosphor bronze; its guitars have a magnetic pickup. Wound strings will speak with less output, so the plain ones are to pull a tenth less.",
		"match", `{"set": "quarry-6", "alloy": "phosphor-bronze-8", "tolerance_percent": 12, "held_only": true, "plain_lighter_percent": 10, "magnetic_pickup": true}`},
	{"Down to D", "Ruben Achterberg drops the sixth string of kiln-6 to D and finds the set slack. What does it pull now, and where has it lost?",
		"tension", `{"set": [{"recipe": "P-9.5", "scale_in": 25.5, "pitch": "E4"}, {"recipe": "P-13", "scale_in": 25.5, "pitch": "B3"}, {"recipe": "P-16", "scale_in": 25.5, "pitch": "G3"},
  {"recipe": "NPS-25", "scale_in": 25.5, "pitch": "D3"}, {"recipe": "NPS-32", "scale_in": 25.5, "pitch": "A2"}, {"recipe": "NPS-46", "scale_in": 25.5, "pitch": "D2"}], "reference": "kiln-6"}`},
	{"An even set for fanned frets", "A luthier builds a seven-string with fanned frets, 25.5 to 27 inches, and wants 72 N on the first string rising evenly to 84 N on the seventh.",
		"balance", `{"set": [{"scale_in": 25.5, "pitch": "E4", "plain": true}, {"scale_in": 25.75, "pitch": "B3", "plain": true}, {"scale_in": 26, "pitch": "G3", "plain": true}, {"scale_in": 26.25, "pitch": "D3", "plain": false},
  {"scale_in": 26.5, "pitch": "A2", "plain": false}, {"scale_in": 26.75, "pitch": "E2", "plain": false}, {"scale_in": 27, "pitch": "B1", "plain": false}],
 "alloy": "nickel-plated-steel", "first_n": 72, "last_n": 84, "tolerance_percent": 15}`},
	{"Can we make a 44 in nickel?", "Jorun Halvik asks for a single E string of 44 thou in nickel; there is no such recipe. Which wires give it?",
		"find", `{"gauge_thou": 44, "alloy": "nickel", "scale_in": 25.5, "pitch": "E2", "held_only": true}`},
}

func TestOrderDeskCases(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, scenario.Files); err != nil {
		t.Fatal(err)
	}
	r := newRoom(t)
	r.run("import", dir)
	var doc bytes.Buffer
	fmt.Fprintf(&doc, "# Five cases of the order desk\n\nOn the invented shop of `testdata/scenario`, as it stands when it is imported. A test asks the questions again and compares the answers.\n")
	for i, c := range orderDesk {
		var out, errs bytes.Buffer
		if code := run(context.Background(), []string{c.command, "-", "--database", r.database}, strings.NewReader(c.question), &out, &errs); code != done {
			t.Fatalf("%s: %s", c.title, errs.String())
		}
		fmt.Fprintf(&doc, "\n## %d. %s\n\n%s\n\n`windingroom %s question.json`, where the question is\n\n```json\n%s\n```\n\n", i+1, c.title, c.story, c.command, c.question)
		switch c.command {
		case "match":
			var a matchDoc
			decodeCase(t, out.Bytes(), &a)
			a.Recommended.print(&doc, "The recommended set")
		case "balance":
			var a struct {
				Answers []struct {
					By string `json:"by"`
					setDoc
				} `json:"answers"`
			}
			decodeCase(t, out.Bytes(), &a)
			for _, set := range a.Answers {
				set.print(&doc, "The best by "+set.By)
			}
		case "tension":
			printTension(t, &doc, out.Bytes())
		case "find":
			printFound(t, &doc, out.Bytes())
		}
	}
	testkit.Golden(t, "../../testdata/orderdesk/cases.md", doc.Bytes())
}

func decodeCase(t *testing.T, answer []byte, into any) {
	t.Helper()
	if err := json.Unmarshal(answer, into); err != nil {
		t.Fatal(err)
	}
}

func (l matchLine) made() string {
	if l.Recipe != "" {
		return l.Recipe
	}
	return strings.Join(append([]string{l.Core}, l.Wraps...), " + ")
}

func (s setDoc) print(w *bytes.Buffer, title string) {
	fmt.Fprintf(w, "%s:\n\n| string | made as | gauge | tension N | difference %% | breaking share | held |\n|---|---|---|---|---|---|---|\n", title)
	for _, l := range s.Strings {
		kept := ""
		if l.Kept {
			kept = " (stays)"
		}
		fmt.Fprintf(w, "| %d | %s%s | %.1f | %.1f | %+.1f | %.2f | %v |\n", l.Position, l.made(), kept, l.Nominal, l.Tension, l.Difference, l.Share, l.Held)
	}
	fmt.Fprintf(w, "\nTotal %.1f N, spread %.0f %%, wire %.2f %s, winding %.1f min, setup %.1f min, margin %.0f %%: suggested price %.2f.\n",
		s.Total, s.Spread, s.WireCost, s.Currency, s.Winding, s.Setup, s.Margin, s.Price)
	for _, n := range s.Notes {
		fmt.Fprintf(w, "%s\n", n)
	}
	printCautions(w, s.Cautions)
	fmt.Fprintln(w)
}

func printCautions(w *bytes.Buffer, cautions []string) {
	for i, c := range cautions {
		if i == 0 {
			fmt.Fprintln(w)
		}
		fmt.Fprintf(w, "- %s\n", c)
	}
}

func printTension(t *testing.T, w *bytes.Buffer, answer []byte) {
	var a struct {
		Strings []struct {
			Position int     `json:"position"`
			Recipe   string  `json:"recipe"`
			Tension  float64 `json:"tension_n"`
			Share    float64 `json:"breaking_share"`
			Cents    float64 `json:"tenth_partial_cents"`
		} `json:"strings"`
		Total   float64 `json:"total_n"`
		Against struct {
			Word    string  `json:"word"`
			Total   float64 `json:"total_difference_n"`
			Most    int     `json:"most"`
			Strings []struct {
				N       float64 `json:"difference_n"`
				Percent float64 `json:"difference_percent"`
			} `json:"strings"`
		} `json:"against"`
		Cautions []string `json:"cautions"`
	}
	decodeCase(t, answer, &a)
	fmt.Fprint(w, "| string | recipe | tension N | breaking share | tenth partial, cents sharp | beside the reference N |\n|---|---|---|---|---|---|\n")
	for i, s := range a.Strings {
		fmt.Fprintf(w, "| %d | %s | %.1f | %.2f | %.1f | %+.1f |\n", s.Position, s.Recipe, s.Tension, s.Share, s.Cents, a.Against.Strings[i].N)
	}
	most := a.Against.Strings[a.Against.Most-1]
	fmt.Fprintf(w, "\nTotal %.1f N: %s by %.1f N, most on string %d (%+.0f %%).\n", a.Total, a.Against.Word, math.Abs(a.Against.Total), a.Against.Most, most.Percent)
	printCautions(w, a.Cautions)
}

func printFound(t *testing.T, w *bytes.Buffer, answer []byte) {
	var a struct {
		Found []struct {
			matchLine
			From float64 `json:"tension_from_n"`
			To   float64 `json:"tension_to_n"`
			Cost float64 `json:"wire_cost"`
		} `json:"found"`
		More int `json:"more"`
	}
	decodeCase(t, answer, &a)
	fmt.Fprint(w, "| made as | gauge | tension N, with the tolerance of the wires | breaking share | wire |\n|---|---|---|---|---|\n")
	for _, f := range a.Found {
		fmt.Fprintf(w, "| %s | %.2f | %.1f (%.1f to %.1f) | %.2f | %.2f |\n", f.made(), f.Gauge, f.Tension, f.From, f.To, f.Share, f.Cost)
	}
}
