package costing

import (
	"time"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// Use is wire that a batch took from one spool, with its share of later weighings.
type Use struct {
	Wire    material.WireCode
	Lot     string
	Strings int // wound from it; zero for the difference of a weighing
	Mass    measure.Mass
	Cost    money.Minor // by the books' formula
}

// Work is time on a batch: one result.
type Work struct {
	Person  string
	Strings int // wound in it, good and scrapped
	Time    time.Duration
	Cost    money.Minor // at the person's, or the shop's, real rate: LabourCost
}

// Batch is what winding a batch really took.
type Batch struct {
	Code           string
	Recipe         string
	Machine        string
	Good, Scrapped int
	Yield          float64 // expected share of good strings
	Uses           []Use
	Works          []Work
}

// Cost is money by what it was spent on.
type Cost struct{ Wire, Labour money.Minor }

// Total sums it.
func (c Cost) Total() money.Minor { return c.Wire + c.Labour }

// LabourCost gives time × rate per hour to the nearest minor unit.
func LabourCost(t time.Duration, perHour money.Minor) money.Minor {
	return money.Share(perHour, int64(t), int64(time.Hour))
}

// BatchCost is the cost of a batch: All = Good + NormalScrap + Abnormal + Usage. The first two are the cost of the good strings, the others
// are expenses.
type BatchCost struct {
	All         Cost
	Good        Cost        // of the good strings themselves
	NormalScrap Cost        // of the scrap that the yield lets expect
	Abnormal    Cost        // of scrap beyond
	Usage       money.Minor // differences of weighings that came when its strings were made, in an earlier period: variance of that usage
	Charged     money.Minor // of All.Wire: differences of weighings that the batch bears
	Scrap       Scrap
}

// Product gives what the good strings cost with their normal scrap.
func (c BatchCost) Product() Cost {
	return Cost{c.All.Wire - c.Abnormal.Wire - c.Usage, c.All.Labour - c.Abnormal.Labour}
}

// CostBatch costs a batch, as far as one period has it. Good, normal and abnormal strings share wire and labour by their number, by largest remainder.
func CostBatch(b Batch) BatchCost {
	out := BatchCost{Scrap: SplitScrap(b.Good, b.Scrapped, b.Yield)}
	for _, u := range b.Uses {
		out.All.Wire += u.Cost
		if u.Strings == 0 {
			out.Charged += u.Cost
		}
	}
	for _, w := range b.Works {
		out.All.Labour += w.Cost
	}
	weights := []int64{int64(b.Good), int64(out.Scrap.Normal), int64(out.Scrap.Abnormal)}
	if b.Good+b.Scrapped == 0 {
		weights = []int64{0, 0, 1} // wire and time without a string
		out.Usage = out.Charged
	}
	wire, labour := money.SplitLargestRemainder(out.All.Wire-out.Usage, weights), money.SplitLargestRemainder(out.All.Labour, weights)
	out.Good, out.NormalScrap, out.Abnormal = Cost{wire[0], labour[0]}, Cost{wire[1], labour[1]}, Cost{wire[2], labour[2]}
	return out
}

// Share splits the product cost of a batch over those who got its good strings (order strings, finished stock), by their number and
// largest remainder. Wire, NormalScrap and Labour of the parts each sum to that of the batch.
func (c BatchCost) Share(strings []int) []StringCost {
	weights := make([]int64, len(strings))
	for i, n := range strings {
		weights[i] = int64(n)
	}
	wire, scrap := money.SplitLargestRemainder(c.Good.Wire, weights), money.SplitLargestRemainder(c.NormalScrap.Total(), weights)
	labour := money.SplitLargestRemainder(c.Good.Labour, weights)
	out := make([]StringCost, len(strings))
	for i := range out {
		out[i] = StringCost{Strings: strings[i], Wire: wire[i], NormalScrap: scrap[i], Labour: labour[i]}
	}
	return out
}

// StringCost is what the strings of one position cost.
type StringCost struct {
	Strings     int
	Wire        money.Minor // in the good strings
	NormalScrap money.Minor // wire and time of the scrap that they bear
	Labour      money.Minor // in the good strings
}

// Total sums it.
func (s StringCost) Total() money.Minor { return s.Wire + s.NormalScrap + s.Labour }
