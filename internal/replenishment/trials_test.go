package replenishment

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// The trials behind the achieved confidence: each week there is a demand or not, of a gamma size, nothing changes over time; a rule
// sees n weeks and names a stock for the four weeks after. How often would it have lasted?

type source struct {
	chance, cv2 float64
}

func (s source) week(rng *rand.Rand, size distuv.Gamma) float64 {
	if rng.Float64() >= s.chance {
		return 0
	}
	return size.Rand()
}

// achieved gives the mean chance that the stock a rule names lasts, and the mean weeks with demand it saw.
func (s source) achieved(n, trials int, rule func(History) float64) (service, demands float64) {
	rng := rand.New(rand.NewPCG(uint64(n), math.Float64bits(s.chance)))
	size := distuv.Gamma{Alpha: 1 / s.cv2, Beta: 1 / s.cv2, Src: rng}
	totals := make([]float64, 40_000)
	for i := range totals {
		for range trialCover {
			totals[i] += s.week(rng, size)
		}
	}
	slices.Sort(totals)
	for range trials {
		var h History
		for len(h.Weeks) < n { // since first use
			if x := s.week(rng, size); x > 0 || len(h.Weeks) > 0 {
				h.Weeks = append(h.Weeks, x)
				h.Largest = max(h.Largest, x)
			}
		}
		stock := rule(h)
		lasts, _ := slices.BinarySearchFunc(totals, stock, func(total, stock float64) int {
			if total <= stock {
				return -1
			}
			return 1
		})
		service += float64(lasts) / float64(len(totals))
		demands += float64(PatternOf(h.Weeks).Demands)
	}
	return service / float64(trials), demands / float64(trials)
}

// The table of achieved confidence says what the trials say: their least, to one part in a hundred.
func TestAchievedIsWhatTrialsReach(t *testing.T) {
	often := []source{{.8, .8}, {.95, .8}, {.95, .2}}
	seldom := []source{{.05, .8}, {.1, .8}, {.25, .8}, {.5, .8}, {.25, .2}}
	rule := func(family float64) func(History) float64 {
		return func(h History) float64 { return DemandOf(h, family, 0).Total(trialAim, trialCover, 0) }
	}
	for _, row := range trials {
		for _, class := range []struct {
			name    string
			sources []source
			want    float64
		}{{"often", often, row.often}, {"seldom", seldom, row.seldom}} {
			least := 1.
			for _, s := range class.sources {
				for _, family := range []float64{.5, 1} { // the right one is 1
					got, _ := s.achieved(int(row.weeks), 1000, rule(family))
					least = min(least, got)
				}
			}
			t.Logf("%3v weeks, demand %-6s: lasted %.3f, table %.3f", row.weeks, class.name, least, class.want)
			if !near(least, class.want, .011) {
				t.Errorf("%v weeks, demand %s: trials reach %.3f, the table says %v", row.weeks, class.name, least, class.want)
			}
		}
	}
}

// The same demand and history, by the normal formula and by the rule: the reason for the gamma and the error term.
func TestRuleLastsLongerThanTheNormalFormula(t *testing.T) {
	lumpy := source{.25, .8}
	for _, n := range []int{13, 26, 52, 104} {
		normal, _ := lumpy.achieved(n, 1000, func(h History) float64 {
			return OverLead(mean(h.Weeks), math.Sqrt(variance(h.Weeks)), trialCover, 0).OrderPoint(Z(trialAim))
		})
		rule, _ := lumpy.achieved(n, 1000, func(h History) float64 { return DemandOf(h, 1, 0).Total(trialAim, trialCover, 0) })
		t.Logf("lumpy, %d weeks: normal formula %.3f, rule %.3f", n, normal, rule)
		if rule < normal+.02 || rule > trialAim+.01 {
			t.Errorf("%d weeks: normal formula %.3f, rule %.3f", n, normal, rule)
		}
	}
}

func TestAchievedNeverPromisesTheAim(t *testing.T) {
	d := Demand{Method: Gamma, Weeks: 500, Pattern: Pattern{Periods: 500, Demands: 100, ADI: 5}}
	if got := d.Achieved(.95, 4); got >= .95 {
		t.Errorf("after 500 weeks %v", got)
	}
	if got := d.Achieved(.95, 0); got != .95 {
		t.Errorf("with all booked ahead %v", got)
	}
	if got := (Demand{Method: OwnMinimum}).Achieved(.95, 4); got != 0 {
		t.Errorf("without history %v", got)
	}
	last := 0.
	for weeks := 1.; weeks < 200; weeks++ {
		d.Weeks = weeks
		got := d.Achieved(.95, 4)
		if got < last {
			t.Fatalf("%v weeks know less than fewer: %v after %v", weeks, got, last)
		}
		last = got
	}
	d.Weeks = 26
	if longer := d.Achieved(.95, 8); longer >= d.Achieved(.95, 4) {
		t.Error("twice the weeks to cover are as sure")
	}
}
