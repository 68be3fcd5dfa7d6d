package setwork

import (
	"math"

	"windingroom/internal/money"
)

// PriceAnswer is what a set costs and might be sold for.
type PriceAnswer struct {
	Currency   string   `json:"currency"`
	WireCost   *float64 `json:"wire_cost" doc:"Of one good set, expected scrap included, at what the wire on the shelf cost; null where a cost is unknown."`
	LabourCost float64  `json:"labour_cost" doc:"Winding minutes of one good set at the shop's labour_per_hour; setup is not in it."`
	Price      *float64 `json:"price" doc:"Suggested: cost ÷ (1 − margin); null where the cost is unknown."`
	PriceNotes []string `json:"price_notes,omitempty"`
}

// price sums up a set. Amounts are rounded once, to the currency's minor unit.
func (r *Room) price(picks []*Alternative) PriceAnswer {
	c := r.practice.Currency
	out := PriceAnswer{Currency: string(c)}
	var wire, hours float64
	listed := false
	for _, a := range picks {
		wire += a.cost
		hours += a.MinutesEach.Hours() / a.Yield
		for _, u := range a.uses {
			listed = listed || r.shelf.listed[u.wire]
		}
	}
	labour := hours * float64(r.practice.LabourPerHour)
	out.LabourCost = amount(c, labour)
	if !math.IsNaN(wire) {
		cost, price := amount(c, wire), amount(c, (wire+labour)/(1-r.practice.Margin))
		out.WireCost, out.Price = &cost, &price
	} else {
		out.PriceNotes = append(out.PriceNotes, "A wire has neither a cost on the shelf nor a list price.")
	}
	if listed {
		out.PriceNotes = append(out.PriceNotes, "A wire that is not on the shelf is counted at its list price.")
	}
	if r.practice.LabourPerHour == 0 {
		out.PriceNotes = append(out.PriceNotes, "The price holds no labour: labour_per_hour is not set.")
	}
	return out
}

func amount(c money.Currency, minor float64) float64 { return c.Float(money.Minor(math.Round(minor))) }

// wireCost gives the cost of a string in whole units of the currency, to a hundredth of a minor unit; nil where unknown.
func (r *Room) wireCost(minor float64) *float64 {
	if math.IsNaN(minor) {
		return nil
	}
	v := math.Round(minor*100) / math.Pow10(2+r.practice.Currency.Decimals())
	return &v
}
