package replenishment_test

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os/exec"
	"slices"
	"testing"
	"time"

	"windingroom/internal/replenishment"
	"windingroom/internal/testkit"
)

// outside is one value of a distribution: what it is asked at, its parameters in the other library's own terms, and this package's answer.
type outside struct {
	Of   string    `json:"of"`
	At   float64   `json:"at"` // a chance for a quantile, a count for a distribution function
	With []float64 `json:"with"`

	got       float64
	tolerance float64
	relative  bool // the tolerance is a share of the value
}

// scipyAnswers reads a list of questions and answers each.
const scipyAnswers = `
import json, sys
from scipy import stats
ask = {
    "normal quantile": lambda p: stats.norm.ppf(p),
    "normal loss": lambda z: stats.norm.pdf(z) - z * stats.norm.sf(z),
    "student quantile": lambda p, freedom: stats.t.ppf(p, freedom),
    "gamma quantile": lambda p, shape, scale: stats.gamma.ppf(p, shape, scale=scale),
    "gamma shortage": lambda x, shape, scale: stats.gamma.sf(x, shape + 1, scale=scale) - x / (shape * scale) * stats.gamma.sf(x, shape, scale=scale),
    "normal service": lambda x, mean, sd: stats.norm.cdf(x, mean, sd),
    "poisson": lambda k, mean: stats.poisson.cdf(k, mean),
    "poisson quantile": lambda p, mean: stats.poisson.ppf(p, mean),
    "negative binomial": lambda k, r, p: stats.nbinom.cdf(k, r, p),
}
json.dump([float(ask[q["of"]](q["at"], *(q["with"] or []))) for q in json.load(sys.stdin)], sys.stdout)
`

// The distributions agree with those of scipy.stats on demand drawn at random: mean and variance come from series of weeks as a
// shop has them, smooth to lumpy.
func TestDistributionsAsScipyHasThem(t *testing.T) {
	python := testkit.Python(t, "scipy.stats")
	questions := drawn(rand.New(rand.NewPCG(5, 26)), 400)
	answers := askScipy(t, python, questions)
	worst := map[string]float64{}
	for i, q := range questions {
		off := math.Abs(q.got - answers[i])
		if q.relative {
			off /= math.Abs(answers[i])
		}
		worst[q.Of] = math.Max(worst[q.Of], off)
		if !(off <= q.tolerance) { // not a number is off too
			t.Errorf("%s at %v with %v: %v, scipy has %v", q.Of, q.At, q.With, q.got, answers[i])
		}
	}
	for _, q := range questions[:slices.IndexFunc(questions[1:], func(q outside) bool { return q.Of == questions[0].Of })+1] {
		t.Logf("%-18s at most %.1e off, allowed %.0e", q.Of, worst[q.Of], q.tolerance)
	}
}

// drawn asks every question for each of so many random series.
func drawn(rng *rand.Rand, series int) []outside {
	var all []outside
	for range series {
		mean, variance := weeks(rng)
		p := .5 + .495*rng.Float64()
		shape, scale := mean*mean/variance, variance/mean
		z := 8*rng.Float64() - 4
		point := mean + z/2*math.Sqrt(variance)
		stock := mean * 3 * rng.Float64()
		freedom := float64(2 + rng.IntN(100))
		rate := .2 + 40*rng.Float64()
		count := rng.IntN(int(2*rate) + 2)
		spread := rate * (1.05 + 6*rng.Float64())
		studentTolerance := 1e-6
		if freedom >= 25 {
			studentTolerance = 2e-5 // as Student says of its expansion
		}
		all = append(all,
			outside{Of: "normal quantile", At: p, got: replenishment.Z(p), tolerance: 1e-9},
			outside{Of: "normal loss", At: z, got: replenishment.Loss(z), tolerance: 1e-9},
			outside{Of: "gamma quantile", At: p, With: []float64{shape, scale}, got: replenishment.GammaQuantile(p, mean, variance), tolerance: 1e-6, relative: true},
			outside{Of: "gamma shortage", At: stock, With: []float64{shape, scale}, got: replenishment.GammaShortage(stock, mean, variance) / mean, tolerance: 1e-9},
			outside{Of: "normal service", At: point, With: []float64{mean, math.Sqrt(variance)},
				got: replenishment.LeadDemand{Mean: mean, SD: math.Sqrt(variance)}.Service(point), tolerance: 1e-9},
			outside{Of: "poisson", At: float64(count), With: []float64{rate}, got: replenishment.PoissonCDF(count, rate), tolerance: 1e-9},
			outside{Of: "poisson quantile", At: p, With: []float64{rate}, got: poissonQuantile(p, rate), tolerance: 0},
			outside{Of: "negative binomial", At: float64(count), With: []float64{rate * rate / (spread - rate), rate / spread},
				got: replenishment.NegativeBinomialCDF(count, rate, spread), tolerance: 1e-9},
			outside{Of: "student quantile", At: p, With: []float64{freedom}, got: replenishment.Student(p, freedom), tolerance: studentTolerance},
		)
	}
	return all
}

// weeks gives mean and variance of the demand of half a year of weeks, some of them without any.
func weeks(rng *rand.Rand) (mean, variance float64) {
	chance, size := .1+.9*rng.Float64(), math.Exp(6*rng.Float64())
	x := make([]float64, 26)
	for i := range x {
		if i == 0 || rng.Float64() < chance {
			x[i] = size * rng.ExpFloat64()
		}
		mean += x[i] / float64(len(x))
	}
	for _, v := range x {
		variance += (v - mean) * (v - mean) / float64(len(x)-1)
	}
	return mean, variance
}

// poissonQuantile takes it from the chances of single lines of one unit each.
func poissonQuantile(p, rate float64) float64 {
	k, _ := replenishment.CountQuantile(p, replenishment.CompoundPoisson(rate, []float64{0, 1}, 200))
	return float64(k)
}

func askScipy(t *testing.T, python string, questions []outside) (answers []float64) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	defer cancel()
	in, err := json.Marshal(questions)
	if err != nil {
		t.Fatal(err)
	}
	var out, complaint bytes.Buffer
	c := exec.CommandContext(ctx, python, "-c", scipyAnswers)
	c.Stdin, c.Stdout, c.Stderr = bytes.NewReader(in), &out, &complaint
	if err := c.Run(); err != nil {
		t.Fatalf("scipy: %v: %s", err, complaint.String())
	}
	if err := json.Unmarshal(out.Bytes(), &answers); err != nil || len(answers) != len(questions) {
		t.Fatalf("%d answers to %d questions: %v", len(answers), len(questions), err)
	}
	return answers
}
