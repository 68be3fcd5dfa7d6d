package costing

import (
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// Landed is what becomes of a cost that turns up after wire was received: freight billed later, or an invoice that differs from
// the receipt. Such costs belong to the cost of purchase (IAS 2, paragraphs 10 and 11, read in a copy): on what is still on hand they
// are inventory, on what was consumed meanwhile an expense of the period in which they turn up.
type Landed struct {
	Held     []money.Minor // by spool, in the order given
	OnHand   money.Minor   // the sum of Held
	Consumed money.Minor
}

// Land splits a difference (above zero: dearer) over spools by what was received on each and then, on each spool, between what is
// left and what is gone, all by largest remainder: the parts sum to it. received and left are of the same spools.
func Land(difference money.Minor, received, left []measure.Mass) Landed {
	weights := make([]int64, len(received))
	for i, m := range received {
		weights[i] = int64(m)
	}
	out := Landed{Held: make([]money.Minor, len(received)), Consumed: difference}
	for i, part := range money.SplitLargestRemainder(difference, weights) {
		if received[i] <= 0 {
			continue
		}
		out.Held[i] = money.SplitLargestRemainder(part, []int64{int64(left[i]), int64(received[i] - left[i])})[0]
		out.OnHand += out.Held[i]
	}
	out.Consumed -= out.OnHand
	return out
}
