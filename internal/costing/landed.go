package costing

import (
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// Landed is what becomes of a cost that turns up after wire was received: freight billed later, or an invoice that differs from
// the receipt. Such costs belong to the cost of purchase (IAS 2, paragraphs 10 and 11, read in a copy): on what is still on hand they
// are inventory, on what was consumed meanwhile an expense of the period in which they turn up.
type Landed struct {
	Parts    []money.Minor // by spool, in the order given: the difference split
	Held     []money.Minor // of each part, what is on hand
	OnHand   money.Minor   // the sum of Held
	Consumed money.Minor
}

// Land splits a difference (above zero: dearer) over spools by what their wire cost, less what was returned, by largest remainder, and
// on each spool as stock.Balance.Land does: the parts sum to it. A price differs by so much in the hundred; where nothing cost
// anything the spools share by the mass received. costs and spools are of the same length.
func Land(difference money.Minor, costs []money.Minor, spools []stock.Balance) Landed {
	weights := make([]int64, len(spools))
	var priced bool
	for i, c := range costs {
		weights[i] = int64(c)
		priced = priced || c > 0
	}
	for i := range spools {
		if !priced {
			weights[i] = int64(spools[i].Net())
		}
	}
	out := Landed{Parts: money.SplitLargestRemainder(difference, weights), Held: make([]money.Minor, len(spools))}
	for i, part := range out.Parts {
		held, used := spools[i].Land(part)
		out.Held[i] = held
		out.OnHand, out.Consumed = out.OnHand+held, out.Consumed+used
	}
	return out
}
