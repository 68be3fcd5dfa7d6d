package sequencing

import "slices"

// The search: so many temperatures, the tries in all (counted, not timed, so that the plan does not depend on how fast the
// machine is), and how a temperature follows from the one before it, of 1024.
const (
	temperatures = 200
	mostTries    = 500_000
	triesByBatch = 60_000_000
	leastTries   = 20_000
	coolCold     = 1009 // to a twentieth
	coolHot      = 992  // to a six-hundredth
	hotter       = 32
	dearer       = 50
	proveUpTo    = 8 // batches
)

// Solve puts all batches into sequence: the best of a pool of constructions and of the kept sequence, improved by two
// chains of threshold annealing (Dueck and Scheuer, Threshold accepting, J. Comput. Phys. 90, 1990; from memory) with random
// thresholds, a cold one and a warmer one, hot where orders are late. Up to eight batches all sequences are tried after that. The
// kept sequence is given back unless another one is better.
func Solve(p Problem) Result {
	t := compile(&p)
	start := t.construct()
	first := newChain(t, start, 1)
	if t.n >= 2 {
		first = t.anneal(start)
	}
	optimal := t.n == 0
	if t.n <= proveUpTo && !p.Quick {
		var better [][]int32
		if better, optimal = t.prove(first.best, first.least); better != nil {
			first = newChain(t, better, 1)
		}
	}
	if p.Kept != nil {
		if kept := newChain(t, narrow(p.Kept), 1); kept.least.Compare(first.least) <= 0 {
			first = kept
		}
	}
	return first.result(optimal)
}

// Evaluate gives the value of a sequence as it is.
func Evaluate(p Problem, sequence [][]int) Result {
	return newChain(compile(&p), narrow(sequence), 1).result(false)
}

// anneal runs the two chains, each on its own, and gives the better; the first wins ties.
func (t *tables) anneal(start [][]int32) *chain {
	cold, hot := newChain(t, start, 1), newChain(t, start, 2)
	heat := t.heat()
	warm := heat
	switch {
	case cold.value.Late > 0:
		warm *= hotter
	case len(t.Orders) == 0:
		warm *= 2
	}
	done := make(chan struct{})
	go func() {
		defer close(done)
		hot = hot.search(warm, heat)
	}()
	cold = cold.search(heat, heat)
	<-done
	if hot.least.Compare(cold.least) < 0 {
		return hot
	}
	return cold
}

// search anneals and then once more from the best sequence, at a price of lateness that hardly any setup is worth: the first
// search trades one for the other, the second saves setup without it.
func (c *chain) search(from, cold int64) *chain {
	c.cool(from, cold)
	if c.Prices.Setup == 0 {
		return c
	}
	strict := *c.tables
	problem := *c.Problem
	strict.Problem = &problem
	strict.Prices.Late *= dearer
	again := newChain(&strict, c.best, uint64(c.dice))
	again.cool(cold, cold)
	return again
}

// heat gives the temperature at which a cold chain begins.
func (t *tables) heat() int64 {
	heat := t.Prices.Setup * t.meanSetup()
	if heat == 0 {
		var run, weight int64
		for j := range t.n {
			run += t.run[0][j]
		}
		for _, o := range t.Orders {
			weight += o.Weight
		}
		heat = t.Prices.Late * run / max(1, int64(t.n)*max(1, t.Tick)) * weight / max(1, int64(len(t.Orders)))
	}
	return max(heat, 1)
}

// cool anneals from one temperature down to a twentieth of another.
func (c *chain) cool(from, cold int64) {
	tries := c.Effort
	if tries == 0 {
		tries = max(leastTries, min(mostTries, triesByBatch/c.n))
	}
	tries = max(1, tries/temperatures)
	factor := int64(coolCold)
	if from > cold {
		factor = coolHot
	}
	digits := 0 // binary ones after the point, where temperatures are small numbers
	if from < 1<<30 {
		digits = 10
	}
	theta := from << digits
	for range temperatures {
		for range tries {
			c.try(c.score(c.value) + theta*c.dice.Tolerance()>>10>>digits)
		}
		theta = theta * factor >> 10
	}
}

func (c *chain) result(optimal bool) Result {
	best := newChain(c.tables, c.best, 1)
	r := Result{Value: best.value, Ends: best.done, Optimal: optimal}
	for _, seq := range c.best {
		var list []int
		for _, j := range seq {
			list = append(list, int(j))
		}
		r.Sequence = append(r.Sequence, list)
	}
	return r
}

func narrow(sequence [][]int) [][]int32 {
	seqs := make([][]int32, len(sequence))
	for k, s := range sequence {
		for _, j := range s {
			seqs[k] = append(seqs[k], int32(j))
		}
	}
	return slices.Clip(seqs)
}
