package dice

import "testing"

// The mean of the tolerance is near 1024 and its share above 1024 near 1/e, as for an exponential distribution.
func TestToleranceIsNearlyExponential(t *testing.T) {
	d := Dice(1)
	const n = 100_000
	sum, above := int64(0), 0
	for range n {
		v := d.Tolerance()
		sum += v
		if v > 1024 {
			above++
		}
	}
	if mean := sum / n; mean < 950 || mean > 1100 {
		t.Errorf("mean %d, want about 1024", mean)
	}
	if share := float64(above) / n; share < 0.34 || share > 0.40 {
		t.Errorf("%v above the mean, want about 0.37", share)
	}
}

func TestBelowIsEven(t *testing.T) {
	d := Dice(7)
	var seen [10]int
	for range 100_000 {
		seen[d.Below(10)]++
	}
	for i, n := range seen {
		if n < 9_500 || n > 10_500 {
			t.Errorf("%d came %d times of 100000, want about 10000", i, n)
		}
	}
}
