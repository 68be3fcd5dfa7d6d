package costing_test

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"windingroom/internal/costing"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
	"windingroom/internal/testkit"
)

// published reads the rows of a file as maps from column to text.
func published(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join(testkit.ModuleRoot(t), "testdata", "published", "costing", name))
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
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, column := range rows[0] {
			m[column] = row[i]
		}
		out = append(out, m)
	}
	return out
}

func number(t *testing.T, text string) int64 {
	t.Helper()
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// TestPublishedFormulas holds the cost formulas against textbooks, to the cent.
func TestPublishedFormulas(t *testing.T) {
	rows := published(t, "formulas.csv")
	if len(rows) < 16 {
		t.Fatalf("only %d rows", len(rows))
	}
	for _, row := range rows {
		t.Run(row["id"], func(t *testing.T) {
			f := costing.Formula(row["formula"])
			b := newBook()
			var outs []string
			for _, move := range strings.Fields(row["moves"]) {
				if p := b.read(t, move); p.Mass < 0 {
					outs = append(outs, strconv.FormatInt(int64(-p.Costs.Of(f)), 10))
				}
			}
			if got := strings.Join(outs, " "); got != row["outs"] {
				t.Errorf("issues cost %s, want %s", got, row["outs"])
			}
			if got := b.costs.Value("W").Value.Of(f); got != money.Minor(number(t, row["left"])) {
				t.Errorf("left %d, want %s", got, row["left"])
			}
		})
	}
}

// read posts one move of a published row: on a new spool, off the named one, or off whichever hold wire.
func (b *book) read(t *testing.T, move string) costing.Posted {
	t.Helper()
	if amount, price, each := strings.Cut(move[1:], "@"); move[0] == '+' && each {
		return b.receive("W", measure.Mass(number(t, amount)), money.Minor(number(t, amount)*number(t, price)))
	}
	if amount, cost, _ := strings.Cut(move[1:], "="); move[0] == '+' {
		return b.receive("W", measure.Mass(number(t, amount)), money.Minor(number(t, cost)))
	}
	amount, spool, named := strings.Cut(move[1:], "/")
	if !named {
		return b.off("W", measure.Mass(number(t, amount)))
	}
	return b.move(int(number(t, spool))-1, stock.Draw, -measure.Mass(number(t, amount)))
}

// TestPublishedVariances holds the variances against textbooks, to the cent.
func TestPublishedVariances(t *testing.T) {
	rows := published(t, "variances.csv")
	if len(rows) < 7 {
		t.Fatalf("only %d rows", len(rows))
	}
	for _, row := range rows {
		t.Run(row["id"], func(t *testing.T) {
			of := func(column string) int64 { return number(t, row[column]) }
			actual, standard := of("actual_quantity"), int(of("standard_quantity"))
			b := costing.Batch{Good: standard, Yield: 1}
			var s costing.Standard
			first, second := costing.PriceVariance, costing.UsageVariance
			if row["of"] == "labour" {
				first, second = costing.RateVariance, costing.EfficiencyVariance
				s.Time, s.PerHour = time.Hour, money.Minor(of("standard_price"))
				b.Works = []costing.Work{{Strings: standard, Time: time.Duration(actual) * time.Hour, Cost: money.Minor(of("actual_cost"))}}
			} else {
				s.Wires = []costing.StandardWire{{Wire: "W", Each: measure.MassEachFromKilograms(1), PerKg: money.Minor(of("standard_price"))}}
				b.Uses = []costing.Use{{Wire: "W", Strings: standard, Mass: measure.Mass(actual) * measure.Kilogram, Cost: money.Minor(of("actual_cost"))}}
			}
			got := map[costing.VarianceKind]money.Minor{}
			c := costing.Compare(b, s)
			for _, v := range c.Variances {
				got[v.Kind] += v.Amount
			}
			if got[first] != money.Minor(of("first")) || got[second] != money.Minor(of("second")) || len(got) != 2 {
				t.Errorf("variances %v, want %s and %s", got, row["first"], row["second"])
			}
			if total := c.Actual.Total() - c.Standard.Total(); total != money.Minor(of("total")) {
				t.Errorf("actual - standard = %d, want %s", total, row["total"])
			}
		})
	}
}
