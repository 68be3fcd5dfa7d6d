package replenishment

import (
	"math"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
)

// Delivery is a purchase that arrived.
type Delivery struct {
	Supplier   string
	OrderedOn  calendar.Date
	PromisedOn calendar.Date // zero where the supplier named no day
	ReceivedOn calendar.Date
}

// LeadTime is how long a supplier takes, in calendar days from order to receipt.
type LeadTime struct {
	Days, SD float64
	Receipts int     // that it rests on
	Learned  bool    // from this supplier's own receipts; else quoted × Ratio
	Quoted   float64 // what the supplier says
	Ratio    float64 // actual over quoted, own where learned, else of all suppliers
}

// fewReceipts is how many receipts a supplier's own lead time needs, and all together need for a common ratio (judgement).
const fewReceipts = 5

// LeadTimes learns the lead time of each supplier from deliveries: mean and spread of its own where there are five; else the quoted time
// × the ratio of actual to quoted of all suppliers together, with the wider of the quoted spread and theirs.
func LeadTimes(suppliers []catalog.Supplier, deliveries []Delivery) map[string]LeadTime {
	quoted := make(map[string]float64, len(suppliers))
	for _, s := range suppliers {
		quoted[s.Code] = s.LeadDays
	}
	own := map[string][]float64{}
	var ratios []float64
	var actualSum, quotedSum float64
	for _, d := range deliveries {
		days := float64(d.ReceivedOn - d.OrderedOn)
		promised := quoted[d.Supplier]
		if !d.PromisedOn.IsZero() {
			promised = float64(d.PromisedOn - d.OrderedOn)
		}
		if days < 0 {
			continue
		}
		own[d.Supplier] = append(own[d.Supplier], days)
		if promised > 0 {
			ratios = append(ratios, days/promised)
			actualSum, quotedSum = actualSum+days, quotedSum+promised
		}
	}
	ratio, scatter := 1., 0.
	if len(ratios) >= fewReceipts {
		ratio, scatter = actualSum/quotedSum, math.Sqrt(variance(ratios))
	}
	leads := make(map[string]LeadTime, len(suppliers))
	for _, s := range suppliers {
		leads[s.Code] = learn(s, own[s.Code], ratio, scatter)
	}
	return leads
}

func learn(s catalog.Supplier, days []float64, ratio, scatter float64) LeadTime {
	l := LeadTime{Receipts: len(days), Quoted: s.LeadDays}
	if len(days) < fewReceipts {
		l.Ratio, l.Days, l.SD = ratio, s.LeadDays*ratio, math.Max(s.LeadDaysSD, scatter*s.LeadDays)
		return l
	}
	l.Learned, l.Days, l.SD = true, mean(days), math.Sqrt(variance(days))
	if s.LeadDays > 0 {
		l.Ratio = l.Days / s.LeadDays
	}
	return l
}

// Protection gives the days from tonight until a purchase placed at the next check would be on the shelf: the lead time, the days until
// that check, and the days it takes to receive and weigh.
func (l LeadTime) Protection(review, receiving int) int {
	return int(math.Ceil(l.Days)) + review + receiving
}
