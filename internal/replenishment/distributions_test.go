package replenishment

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

func TestNormalAsPublished(t *testing.T) {
	const chopra = "Chopra and Meindl, Supply Chain Management, solution read in a copy"
	const nahmias = "Nahmias, Production and Operations Analysis, inputs read in a copy"
	small, large := OverLead(250, 150, 2, 0), OverLead(2500, 500, 2, 0)
	shop := LeadDemand{100, 20}
	lot, point := shop.LotAndPoint(200, 50, 2, 25)
	compare(t, []published{
		{"A01 G(0)", Loss(0), .39894228, 1e-8, "computed by two routes"},
		{"A01 G(1)", Loss(1), .08331547, 1e-8, "computed by two routes"},
		{"A01 G(2)", Loss(2), .00849070, 1e-8, "computed by two routes"},
		{"G(2.33)", Loss(2.33), .00335232, 1e-8, "computed by two routes"},
		{"G inverse of .1", LossInverse(.1), .902346, 1e-6, "computed by two routes"},
		{"G inverse of .2", LossInverse(.2), .492887, 1e-6, "computed by two routes"},
		{"z at .98", Z(.98), 2.053749, 1e-6, "computed by two routes"},
		{"A03", OverLead(30, 5, 10, 0).OrderPoint(1.65), 326.0888, 1e-3, "Russell and Taylor, Operations Management, inputs read in a copy"},
		{"A04 safety stock", 600 - small.Mean, 100, 1e-9, chopra},
		{"A04 service", small.Service(600), .681324, 1e-6, chopra},
		{"A04 shortage", small.Shortage(600), 43.861259, 1e-6, chopra},
		{"A04 fill rate", small.FillRate(600, 1000), .956139, 1e-6, chopra},
		{"A05 service", large.Service(6000), .921350, 1e-6, chopra},
		{"A05 shortage", large.Shortage(6000), 25.127271, 1e-6, chopra},
		{"A05 fill rate", large.FillRate(6000, 10000), .997487, 1e-6, chopra},
		{"A06", OverLead(60, 0, 6, 2).OrderPoint(1.28), 513.6, 1e-9, "Heizer and Render, Operations Management, chapter 12, read in a copy"},
		{"A08 safety stock", OverLead(2500, 500, 7, 7).OrderPoint(Z(.9)) - 17500, 22491.139, 1e-2, "Chopra and Meindl, from memory"},
		{"A08 sure lead time", OverLead(2500, 500, 7, 0).OrderPoint(Z(.9)) - 17500, 1695.3, .05, "Chopra and Meindl, from memory"},
		{"A09 lot", lot, 108.5073, 1e-3, nahmias},
		{"A09 order point", point, 134.2499, 1e-3, nahmias},
		{"A09 type 1", shop.OrderPoint(Z(.98)), 141.075, 1e-3, nahmias},
		{"A10", shop.OrderPointForFill(.98, 100), 118.0469, 1e-3, nahmias},
		{"A10 its service", shop.Service(shop.OrderPointForFill(.98, 100)), .8166, 1e-4, nahmias},
		{"2.5 a day", OverLead(2.5, 1.2, 25, 0).OrderPoint(Z(.9)), 70.189, 1e-3, "a trade text, inputs read in a copy"},
	})
}

func TestCountsAsPublished(t *testing.T) {
	const hopp = "Hopp and Spearman, Factory Physics, section 2.4.2, read in a copy"
	for i, want := range []float64{.583040, .696776, .791556, .864464, .916542, .951260, .972958, .985722} {
		compare(t, []published{{"Poisson", PoissonCDF(10+i, 10), want, 1e-6, hopp}})
	}
	sizes := []float64{0, .5, .3, 0, 0, 0, .2}
	g := CompoundPoisson(2.4, sizes, 60)
	var at13, at14 float64
	for k := range 15 {
		if at14 += g[k]; k < 14 {
			at13 += g[k]
		}
	}
	const actuar = "computed, confirmed by the aggregate distribution of an actuarial package"
	u := CountUndershoot(sizes)
	undershoot := 0.0
	for k, c := range u {
		undershoot += float64(k) * c
	}
	compare(t, []published{
		{"A11", PoissonCDF(14, 10), .916541527065, 1e-11, hopp},
		{"A14 at 13", at13, .9323982953, 1e-9, actuar},
		{"A14 at 14", at14, .9510270380, 1e-9, actuar},
		{"A14 g6", g[6], .07213776, 1e-8, actuar},
		{"A15 mean", undershoot, 1.434783, 1e-6, "computed; simulated 1.41"},
		{"A15 none", u[0], .434783, 1e-6, "computed"},
		{"negative binomial at 0", NegativeBinomialCDF(0, 4, 12), 1. / 9, 1e-12, "computed by three routes"},
		{"negative binomial at 10", NegativeBinomialCDF(10, 4, 12), .946049, 1e-6, "computed by three routes"},
		{"negative binomial at 11", NegativeBinomialCDF(11, 4, 12), .961463, 1e-6, "computed by three routes"},
	})
	for p, want := range map[float64]int{.95: 14, .98: 17} {
		if got, ok := CountQuantile(p, g); got != want || !ok {
			t.Errorf("A14 quantile of %v: %d, want %d", p, got, want)
		}
	}
	if _, ok := CountQuantile(.99, g[:3]); ok {
		t.Error("a quantile beyond the chances given")
	}
}

func TestGammaAsComputed(t *testing.T) {
	const three = "computed in three programs"
	compare(t, []published{
		{"A13 .90", GammaQuantile(.90, 4, 12), 8.579147, 1e-5, three},
		{"A13 .95", GammaQuantile(.95, 4, 12), 10.842529, 1e-5, three},
		{"A13 .98", GammaQuantile(.98, 4, 12), 13.788456, 1e-5, three},
		{"the normal one", 4 + Z(.95)*math.Sqrt(12), 9.698, 1e-3, three},
		{"A17 inflation at n=8", Student(.95, 7) * math.Sqrt(TotalVariance(1, 4, 8)) / (Z(.95) * 2), 1.411, 1e-3, "computed: textbook prediction interval"},
		{"inflation at n=26", Student(.95, 25) * math.Sqrt(TotalVariance(1, 4, 26)) / (Z(.95) * 2), 1.116, 1e-3, "computed: textbook prediction interval"},
	})
}

// With the undershoot added, mean and variance, the gamma comes within a unit of the 16 that a simulation finds to be needed.
func TestUndershootAsSimulated(t *testing.T) {
	sizes := []float64{0, .5, .3, 0, 0, 0, .2}
	var lines []float64
	for k, f := range sizes {
		for range int(math.Round(f * 10)) {
			lines = append(lines, float64(k))
		}
	}
	exact := CountUndershoot(sizes)
	var m, v float64
	for k, c := range exact {
		m += float64(k) * c
		v += float64(k*k) * c
	}
	v -= m * m
	if got := math.Ceil(GammaQuantile(.95, 5.52+m, 21.36+v)); got < 16 || got > 17 {
		t.Errorf("order point %v, want about 16", got)
	}
	u := UndershootOf(lines)
	if !near(u.Mean, 1.434783+.5, 1e-6) { // whole units leave out half a unit
		t.Errorf("continuous undershoot %v", u.Mean)
	}
}

func TestStudentsExpansion(t *testing.T) {
	for freedom := 25.; freedom < 200; freedom += 5 {
		for p := .01; p < .995; p += .01 {
			if got, want := Student(p, freedom), (distuv.StudentsT{Sigma: 1, Nu: freedom}).Quantile(p); !near(got, want, 2e-5) {
				t.Errorf("at %.2f with %v: %v, want %v", p, freedom, got, want)
			}
		}
	}
}

func TestLossLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		z := rapid.Float64Range(-6, 6).Draw(t, "z")
		if !near(Loss(-z), Loss(z)+z, 1e-12) {
			t.Fatal("G(-z) is not G(z) + z")
		}
		if z < 5 && !near(LossInverse(Loss(z)), z, 1e-6) {
			t.Fatalf("the inverse gives %v", LossInverse(Loss(z)))
		}
	})
}

func TestGammaLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.Float64Range(.1, 1e6).Draw(t, "mean")
		v := m * m * rapid.Float64Range(.01, 20).Draw(t, "relative variance")
		p := rapid.Float64Range(.5, .99).Draw(t, "p")
		q := GammaQuantile(p, m, v)
		if further := GammaQuantile(p+.005, m, v); further < q {
			t.Fatalf("the quantile falls from %v to %v", q, further)
		}
		if more := GammaQuantile(p, 2*m, 4*v); !near(more, 2*q, 1e-6*q) {
			t.Fatalf("twice the demand takes %v, not twice %v", more, q)
		}
		if short := GammaShortage(q, m, v); short < -1e-9*m || short > m {
			t.Fatalf("shortage %v of a mean of %v", short, m)
		}
	})
	if GammaQuantile(.95, 0, 5) != 0 || GammaQuantile(.95, 5, 0) != 5 {
		t.Error("no demand or no variance")
	}
	if got := GammaShortage(0, 4, 12); !near(got, 4, 1e-9) {
		t.Errorf("without stock all is short: %v", got)
	}
}
