package setwork

import (
	"fmt"
	"math"
	"time"

	"windingroom/internal/catalog"
	"windingroom/internal/fields"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// PriceAnswer is what a set costs and might be sold for, with its parts.
type PriceAnswer struct {
	Currency       string   `json:"currency"`
	WireCost       *float64 `json:"wire_cost" doc:"Of one good set, expected scrap included, at what the wire on the shelf cost; null where a cost is unknown or a string is missing."`
	WindingMinutes float64  `json:"winding_minutes" doc:"Of one good set, expected scrap included."`
	SetupMinutes   float64  `json:"setup_minutes" doc:"Of one set's share of loading core, wraps and length for its strings, position by position, plain and wound ones on a machine each of which nothing is known; shared by the quantity asked for. 0 for a standing set, whose strings are wound among others."`
	LabourCost     float64  `json:"labour_cost" doc:"Winding and setup minutes at the shop's labour_per_hour."`
	WindingCost    float64  `json:"winding_cost" doc:"What of it is winding."`
	SetupCost      float64  `json:"setup_cost" doc:"What of it is setup."`
	MarginPercent  float64  `json:"margin_percent" doc:"The shop's margin, of the price."`
	Price          *float64 `json:"price" doc:"Suggested: cost ÷ (1 − margin); null where the cost is unknown or a string is missing."`
	PriceNotes     []string `json:"price_notes,omitempty"`
}

// run is how many equal sets are made at once; zero for strings that are wound among others of their kind, so that no set causes a setup.
type run int

// runOf reads a quantity: one set where none is said.
func runOf(quantity int, problems *fields.Invalid) run {
	if quantity < 0 || quantity > mostSets {
		problems.Add("quantity", fmt.Sprintf("must be a number of sets from 1 to %d", mostSets))
	}
	return run(max(quantity, 1))
}

const mostSets = 100_000

// price sums up a set. Amounts are rounded once, to the currency's minor unit; winding and setup so that they are the labour.
func (r *Room) price(positions []position, picks []*Alternative, n run) PriceAnswer {
	c := r.practice.Currency
	out := PriceAnswer{Currency: string(c), MarginPercent: 100 * r.practice.Margin}
	var wire, winding, setup float64 // minor units and minutes
	listed, whole := false, true
	for _, a := range picks {
		if a == nil {
			whole = false
			continue
		}
		wire += a.cost
		winding += a.MinutesEach.Minutes() / a.Yield
		for _, u := range a.uses {
			listed = listed || r.shelf.listed[u.wire]
		}
	}
	if n > 0 {
		setup = r.setup(positions, picks).Minutes() / float64(n)
	}
	labour := (winding + setup) / 60 * float64(r.practice.LabourPerHour)
	out.WindingMinutes, out.SetupMinutes = hundredths(winding), hundredths(setup)
	rounded := money.Minor(math.Round(labour))
	share := min(rounded, money.Minor(math.Round(winding/60*float64(r.practice.LabourPerHour))))
	out.LabourCost, out.WindingCost, out.SetupCost = c.Float(rounded), c.Float(share), c.Float(rounded-share)
	switch {
	case !whole:
		out.PriceNotes = append(out.PriceNotes, "There is no price: a string of the set is missing.")
	case !math.IsNaN(wire):
		cost, price := amount(c, wire), amount(c, (wire+labour)/(1-r.practice.Margin))
		out.WireCost, out.Price = &cost, &price
	default:
		out.PriceNotes = append(out.PriceNotes, "A wire has neither a cost on the shelf nor a list price.")
	}
	if listed {
		out.PriceNotes = append(out.PriceNotes, "A wire that is not on the shelf is counted at its list price.")
	}
	if r.practice.LabourPerHour == 0 {
		out.PriceNotes = append(out.PriceNotes, "The price holds no labour: labour_per_hour is not set.")
	}
	if n == 0 {
		out.PriceNotes = append(out.PriceNotes, "No setup is counted: the strings of a standing set are wound among others.")
	}
	return out
}

// setup gives what machines take to be set up for the strings of a set, each wound in a batch of its own in the order of the positions, equal
// ones in one; plain and wound ones on a machine each of which nothing is known before. Core, each wrap layer and the length are paid for
// where they differ from what is loaded, as in a plan; a plan that winds other orders between may need less.
func (r *Room) setup(positions []position, picks []*Alternative) (sum time.Duration) {
	type machine struct {
		core  *stocked
		wraps [catalog.MaxWraps]*stocked
		scale measure.Size
	}
	type made struct {
		*Candidate
		scale measure.Size
	}
	var machines [2]machine
	done := map[made]bool{}
	for i, a := range picks {
		if a == nil || done[made{a.Candidate, positions[i].scale}] {
			continue
		}
		scale := positions[i].scale
		done[made{a.Candidate, scale}] = true
		on := &machines[int(one(a.Plain()))]
		if on.core != a.core {
			sum += r.practice.ChangeCore
		}
		for j, l := range a.layers {
			if on.wraps[j] != l.wire {
				sum += r.practice.ChangeWrap
			}
			on.wraps[j] = l.wire
		}
		if on.scale != scale {
			sum += r.practice.ChangeLength
		}
		on.core, on.scale = a.core, scale
	}
	return sum
}

func hundredths(minutes float64) float64 { return math.Round(minutes*100) / 100 }

func amount(c money.Currency, minor float64) float64 { return c.Float(money.Minor(math.Round(minor))) }

// wireCost gives the cost of a string in whole units of the currency, to a hundredth of a minor unit; nil where unknown.
func (r *Room) wireCost(minor float64) *float64 {
	if math.IsNaN(minor) {
		return nil
	}
	v := math.Round(minor*100) / math.Pow10(2+r.practice.Currency.Decimals())
	return &v
}
