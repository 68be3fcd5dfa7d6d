package replenishment

import (
	"math"
	"testing"
)

// near is within an absolute tolerance, as the published checks have it.
func near(got, want, tol float64) bool { return math.Abs(got-want) <= tol }

// published is a value that was published or computed independently, and where it is from.
type published struct {
	name           string
	got, want, tol float64
	source         string
}

func compare(t *testing.T, checks []published) {
	t.Helper()
	for _, c := range checks {
		if !near(c.got, c.want, c.tol) {
			t.Errorf("%s: got %.12g, want %.12g within %g (%s)", c.name, c.got, c.want, c.tol, c.source)
		}
	}
}

// lubricant is 36 months of one product: Hyndman and Athanasopoulos, Forecasting: Principles and Practice, 2nd edition,
// section 12.2 (read in a copy).
var lubricant = []float64{
	0, 2, 0, 1, 0, 11, 0, 0, 0, 0, 2, 0,
	6, 3, 0, 0, 0, 0, 0, 7, 0, 0, 0, 0,
	0, 0, 0, 3, 1, 0, 0, 1, 0, 1, 0, 0,
}

func TestPatternAsComputed(t *testing.T) {
	p := PatternOf(lubricant)
	compare(t, []published{
		{"B05 ADI", p.ADI, 3.090909, 1e-6, "computed by two routes"},
		{"B05 CV² with k-1", p.CV2, .877562, 1e-6, "computed by two routes"},
		{"CV² with k", p.CV2 * 10 / 11, .797784, 1e-6, "computed by two routes"},
	})
	if p.Class() != Lumpy || p.Demands != 11 || p.Periods != 36 {
		t.Errorf("%+v is %s", p, p.Class())
	}
}

// A value on the line belongs to the less regular side.
func TestClassOnTheLine(t *testing.T) {
	const under = 1e-12
	for _, c := range []struct {
		adi, cv2 float64
		want     Class
	}{
		{1, 0, Smooth},
		{1.32 - under, .49 - under, Smooth},
		{1.32, .49 - under, Intermittent},
		{1.32 - under, .49, Erratic},
		{1.32, .49, Lumpy},
		{9, 9, Lumpy},
	} {
		if got := (Pattern{Demands: 5, ADI: c.adi, CV2: c.cv2}).Class(); got != c.want {
			t.Errorf("ADI %v and CV² %v: %s, want %s", c.adi, c.cv2, got, c.want)
		}
	}
	if got := PatternOf([]float64{5, 0, 0, 0}); got.ADI != 1 || got.Class() != Intermittent {
		t.Errorf("used once, four periods ago: %+v is %s", got, got.Class())
	}
	if got := PatternOf([]float64{0, 0}).Class(); got != NoDemand {
		t.Errorf("nothing used is %s", got)
	}
	if p := PatternOf([]float64{0, 0, 5}); p.ADI != 3 || p.CV2 != 0 || p.Class() != Intermittent {
		t.Errorf("one demand: %+v", p)
	}
}
