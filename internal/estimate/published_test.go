package estimate_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"windingroom/internal/testkit"
)

// published is a row of testdata/published: a value that stands in a book, a standard or a table, or that was computed
// independently of this program (status derived).
type published struct {
	id, quantity string
	inputs       inputs
	want, tol    float64
	source       string
	outside      bool // printed somewhere, not derived
}

// TestPublishedValues holds every formula against what others have printed.
func TestPublishedValues(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(testkit.ModuleRoot(t), "testdata", "published", "*.csv"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no published values found: %v", err)
	}
	var all, outside, sources = 0, 0, map[string]bool{}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".csv"), func(t *testing.T) {
			for _, p := range readPublished(t, file) {
				all++
				if p.outside {
					outside++
					sources[p.source] = true
				}
				t.Run(p.id, p.check)
			}
		})
	}
	t.Logf("%d published values, %d of them from %d outside sources, the others derived", all, outside, len(sources))
	if outside < 30 || all < 40 {
		t.Errorf("only %d values, %d of them from outside: rows were lost", all, outside)
	}
}

func (p published) check(t *testing.T) {
	compute, ok := quantities[p.quantity]
	if !ok {
		t.Fatalf("nothing computes %q", p.quantity)
	}
	got := compute(t, p.inputs)
	if off := math.Abs(got - p.want); !(off <= p.tol*math.Abs(p.want)) {
		t.Errorf("%s of %v = %.9g, want %.9g within %g (off by %.2g); %s", p.quantity, p.inputs, got, p.want, p.tol, off/math.Abs(p.want), p.source)
	}
}

func readPublished(t *testing.T, file string) []published {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	const header = "id,quantity,inputs,want,unit,tol,source,status"
	if strings.Join(rows[0], ",") != header {
		t.Fatalf("%s: columns are %v, want %s", file, rows[0], header)
	}
	var all []published
	for _, row := range rows[1:] {
		p := published{id: row[0], quantity: row[1], inputs: parseInputs(t, row[2]), source: row[6]}
		p.want, p.tol = number(t, row[3]), number(t, row[5])
		switch row[7] {
		case "read in a copy", "from memory":
			p.outside = true
		case "derived":
		default:
			t.Fatalf("%s, %s: unknown status %q", file, p.id, row[7])
		}
		if p.source == "" {
			t.Errorf("%s, %s: no source", file, p.id)
		}
		all = append(all, p)
	}
	return all
}

// inputs are the key=value pairs of a row, separated by blanks; a key names its unit.
type inputs map[string]string

func parseInputs(t *testing.T, text string) inputs {
	t.Helper()
	in := inputs{}
	for _, pair := range strings.Fields(text) {
		key, value, ok := strings.Cut(pair, "=")
		if !ok {
			t.Fatalf("input %q is not key=value", pair)
		}
		in[key] = value
	}
	return in
}

func (in inputs) text(t *testing.T, key string) string {
	t.Helper()
	v, ok := in[key]
	if !ok {
		t.Fatalf("input %s is missing in %v", key, in)
	}
	return v
}

func (in inputs) num(t *testing.T, key string) float64 {
	t.Helper()
	return number(t, in.text(t, key))
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatalf("%q is not a number", text)
	}
	return v
}
