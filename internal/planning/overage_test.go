package planning

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// The table is computed, not published: exact binomial sums in three other programs agree on it (confidence 0.98).
func TestOverageTable(t *testing.T) {
	for _, row := range []struct{ ordered, at90, at95, at98 int }{
		{1, 2, 2, 1}, {6, 9, 8, 7}, {7, 10, 9, 8}, {12, 16, 15, 14}, {24, 31, 28, 26}, {60, 73, 67, 64}, {120, 142, 132, 126},
	} {
		for yield, want := range map[float64]int{0.90: row.at90, 0.95: row.at95, 0.98: row.at98} {
			if got, err := Overage(row.ordered, yield, 0.98); err != nil || got != want {
				t.Errorf("Overage(%d, %v, 0.98) = %d, %v, want %d", row.ordered, yield, got, err, want)
			}
		}
	}
}

func TestOverageAtItsEdges(t *testing.T) {
	for _, c := range []struct {
		name       string
		ordered    int
		yield      float64
		confidence float64
		want       int
	}{
		{"one string at its own yield", 1, 0.95, 0.95, 1},
		{"two at their own yield", 2, 0.9, 0.81, 2},
		{"0.91 is reached by two at 0.7, though binary digits sum to less", 1, 0.7, 0.91, 2},
		{"just beyond it", 1, 0.95, 0.950001, 2},
		{"certain", 7, 1, 0.95, 7},
		{"certain and wanted for certain", 7, 1, 1, 7},
		{"any chance will do", 5, 0.5, 1e-300, 5},
		{"poor yield", 1, 0.01, 0.95, 299},                     // 1 - 0.99^N >= 0.95: N = ln 0.05 / ln 0.99 = 298.07
		{"nearly certain", 1, 0.5, 1 - 1.0/(1<<20) - 1e-9, 20}, // 1 - 2^-N
	} {
		if got, err := Overage(c.ordered, c.yield, c.confidence); err != nil || got != c.want {
			t.Errorf("%s: got %d, %v, want %d", c.name, got, err, c.want)
		}
	}
}

func TestOverageRefuses(t *testing.T) {
	for _, c := range []struct {
		ordered           int
		yield, confidence float64
	}{
		{0, 0.9, 0.95}, {-1, 0.9, 0.95}, {1, 0, 0.95}, {1, 0.009, 0.95}, {1, 1.01, 0.95}, {1, math.NaN(), 0.95},
		{1, 0.9, 0}, {1, 0.9, 1}, {1, 0.9, math.NaN()}, {1, 0.9, 1.5}, {1, math.Inf(1), 0.95},
	} {
		if n, err := Overage(c.ordered, c.yield, c.confidence); !errors.Is(err, ErrOverage) {
			t.Errorf("Overage(%d, %v, %v) = %d, %v", c.ordered, c.yield, c.confidence, n, err)
		}
	}
}

// surely gives P(Binomial(n, yield) >= ordered) by the incomplete beta function, another way than Overage's sum.
func surely(n, ordered int, yield float64) float64 {
	return distuv.Binomial{N: float64(n), P: yield}.Survival(float64(ordered - 1))
}

func TestOverageIsTheSmallest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ordered := rapid.OneOf(rapid.IntRange(1, 50), rapid.IntRange(1, 60_000)).Draw(t, "ordered")
		yield := rapid.Float64Range(0.05, 0.9999).Draw(t, "yield")
		confidence := rapid.Float64Range(0.05, 0.9999).Draw(t, "confidence")
		n, err := Overage(ordered, yield, confidence)
		if err != nil {
			t.Fatal(err)
		}
		const slack = 1e-9 // of the reference, whose own digits end about there for so many strings
		if p := surely(n, ordered, yield); p < confidence-slack {
			t.Fatalf("%d to wind for %d at %v: only %v sure of %v", n, ordered, yield, p, confidence)
		}
		if n > ordered {
			if p := surely(n-1, ordered, yield); p > confidence+slack {
				t.Fatalf("%d to wind for %d at %v: %d is %v sure already", n, ordered, yield, n-1, p)
			}
		}
	})
}

func TestOverageAgreesWithExactFractions(t *testing.T) {
	for _, yield := range []float64{0.5, 0.6, 0.9, 0.95, 0.97} {
		for _, confidence := range []float64{0.5, 0.81, 0.9, 0.95, 0.97, 0.98} {
			for ordered := 1; ordered <= 15; ordered++ {
				want := slowOverage(ordered, yield, confidence)
				if got, _ := Overage(ordered, yield, confidence); got != want {
					t.Errorf("Overage(%d, %v, %v) = %d, want %d", ordered, yield, confidence, got, want)
				}
			}
		}
	}
}
