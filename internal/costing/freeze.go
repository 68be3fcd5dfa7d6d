package costing

import "strconv"

// Roll adds a roll-forward.
func (d *Digest) Roll(r Roll) {
	for _, l := range r.Lines {
		fields := []string{r.Name(), string(l.Wire), string(l.Formula)}
		for _, q := range []Quantity{l.Opening, l.Received, l.Drawn, l.Scrap, l.Difference, l.Revalued, l.Closing} {
			fields = append(fields, strconv.FormatInt(int64(q.Mass), 10), strconv.FormatInt(int64(q.Cost), 10))
		}
		d.Row("roll-forward", fields...)
	}
}

// Posted adds a movement with its cost under each formula. What is frozen of a movement is what the ledger never changes.
func (d *Digest) Posted(p Posted) {
	number := func(n int64) string { return strconv.FormatInt(n, 10) }
	d.Row("movement", number(int64(p.ID)), string(p.Wire), string(p.Spool), p.Lot, string(p.Kind), p.On.String(), number(p.At.UnixMicro()),
		number(int64(p.Reverses)), number(int64(p.Mass)), number(int64(p.Costs.Specific)), number(int64(p.Costs.FIFO)),
		number(int64(p.Costs.MovingAverage)), number(int64(p.Revalued.FIFO)), number(int64(p.Revalued.MovingAverage)))
}
