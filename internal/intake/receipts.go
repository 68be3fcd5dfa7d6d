package intake

import (
	"strings"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// OnShelf is what the shop knows of that a delivery may refer to or repeat.
type OnShelf struct {
	Currency money.Currency
	Wires    []material.Wire
	Spools   []stock.Spool
	Types    []stock.SpoolType
	Today    calendar.Date // on which a spool was received where nothing else is said
}

// Invoice is what a delivery cost, as it was written; empty for what was not.
type Invoice struct {
	Cost    string // of all wire together; empty where each spool has its own
	Freight string // on top
}

// Receipts is the spools of a delivery with their costs, which sum to Cost and Freight.
type Receipts struct {
	Spools        []stock.Spool
	Cost, Freight money.Minor
	Here          bool // the shop has all of them already, with these figures
}

func wireCode(r *row) material.WireCode { return material.WireCode(r.code("wire")) }

// Receive decides what a delivery brings: each spool's wire, tare and cost. One cost for all and the freight are split over net
// mass, to the minor unit (largest remainder). A delivery that is here already changes nothing; one that is here in part, or with
// other figures, is refused.
func (d *Delivery) Receive(shelf OnShelf, invoice Invoice) (Receipts, Problems) {
	r := &receiving{delivery: d, shelf: shelf, here: byCode(shelf.Spools, func(s stock.Spool) string { return string(s.Code) })}
	r.resolve()
	r.price(invoice)
	r.compare()
	if problems := d.report.with(r.report); len(problems) > 0 {
		return Receipts{}, problems
	}
	return r.out, nil
}

// receiving is one run of Receive.
type receiving struct {
	delivery *Delivery
	shelf    OnShelf
	here     map[string]stock.Spool
	report   report
	out      Receipts
}

func byCode[T any](list []T, code func(T) string) map[string]T {
	of := make(map[string]T, len(list))
	for _, v := range list {
		of[strings.ToLower(code(v))] = v
	}
	return of
}

func (r *receiving) fail(row deliveryRow, column, format string, args ...any) {
	r.report.name = r.delivery.report.name
	r.report.add(row.line, row.place+column, format, args...)
}

// mostAhead is by how many days a receipt may lie ahead. The shop may work on days to come; beyond a year it is a slip of the pen, and
// every weighing of the spool would have to come after it.
const mostAhead = 366

// resolve gives every spool the wire, the spelling, the day and the tare that the shop knows.
func (r *receiving) resolve() {
	wires := byCode(r.shelf.Wires, func(w material.Wire) string { return string(w.Code) })
	types := byCode(r.shelf.Types, func(t stock.SpoolType) string { return t.Name })
	earlier := map[string]bool{}
	for _, row := range r.delivery.rows {
		s := row.spool
		if wire, ok := wires[strings.ToLower(string(s.Wire))]; ok {
			s.Wire = wire.Code
		} else if s.Wire != "" {
			r.fail(row, "wire", "wire %s is unknown to the shop", s.Wire)
		}
		code := strings.ToLower(string(s.Code))
		if s.Code != "" && earlier[code] {
			r.fail(row, "spool", "spool %s is in this delivery twice", s.Code)
		}
		earlier[code] = true
		if s.ReceivedOn.IsZero() {
			s.ReceivedOn = r.shelf.Today
		}
		if s.ReceivedOn > r.shelf.Today+mostAhead {
			r.fail(row, "received_on", "%s is more than a year ahead of today, %s", s.ReceivedOn, r.shelf.Today)
		}
		here, known := r.here[code]
		if known {
			s.Code = here.Code
		}
		r.tare(row, &s, types, here)
		r.out.Spools = append(r.out.Spools, s)
	}
}

// tare gives a spool without a tare of its own that of its type. One that is here already keeps the tare it came with.
func (r *receiving) tare(row deliveryRow, s *stock.Spool, types map[string]stock.SpoolType, here stock.Spool) {
	t, known := types[strings.ToLower(s.Type)]
	if s.Type != "" && !known {
		r.fail(row, "spool_type", "spool type %s is unknown: weigh an empty one first", s.Type)
		return
	}
	switch {
	case row.tareGiven:
		s.Type = ""
		return
	case s.Type == "":
		return // told
	}
	s.Type, s.Tare = t.Name, t.Tare
	if here.Type == t.Name {
		s.Tare = here.Tare
	}
	if wrong := noWire(*s); wrong != "" && !row.bad {
		r.fail(row, "gross_g", "%s", wrong)
	}
}

// price splits the invoice over the spools.
func (r *receiving) price(invoice Invoice) {
	weights := make([]int64, len(r.out.Spools))
	for i, s := range r.out.Spools {
		weights[i] = int64(s.Net())
	}
	costs := make([]money.Minor, len(weights))
	if invoice.Cost == "" {
		for i, row := range r.delivery.rows {
			costs[i] = r.ownCost(row)
			r.out.Cost += costs[i]
		}
	} else {
		for _, row := range r.delivery.rows {
			if row.cost != "" {
				r.fail(row, "cost", "is given for this spool and for the whole delivery; leave one of them out")
			}
		}
		r.out.Cost = r.amount(deliveryRow{}, "cost", invoice.Cost)
		costs = money.SplitLargestRemainder(r.out.Cost, weights)
	}
	freight := make([]money.Minor, len(weights))
	if invoice.Freight != "" {
		r.out.Freight = r.amount(deliveryRow{}, "freight", invoice.Freight)
		freight = money.SplitLargestRemainder(r.out.Freight, weights)
	}
	for i := range r.out.Spools {
		r.out.Spools[i].Cost = costs[i] + freight[i]
	}
}

func (r *receiving) ownCost(row deliveryRow) money.Minor {
	if row.cost != "" {
		return r.amount(row, "cost", row.cost)
	}
	if !row.bad {
		r.fail(row, "cost", "is needed: what the wire on this spool cost, such as 12.50, or one cost for the whole delivery")
	}
	return 0
}

func (r *receiving) amount(row deliveryRow, column, text string) money.Minor {
	m, err := r.shelf.Currency.Parse(text)
	switch {
	case err != nil:
		r.fail(row, column, "%v", err)
	case m < 0:
		r.fail(row, column, "%s must not be negative", text)
	default:
		return m
	}
	return 0
}

// compare looks which spools are here already: all of them with the same figures, or none.
func (r *receiving) compare() {
	if len(r.report.list)+len(r.delivery.report.list) > 0 {
		return
	}
	n := 0
	for i, row := range r.delivery.rows {
		s := r.out.Spools[i]
		here, known := r.here[strings.ToLower(string(s.Code))]
		if !known {
			continue
		}
		n++
		if column, have := differs(s, here, r.shelf.Currency); column != "" {
			r.fail(row, column, otherFigures, s.Code, have)
		}
	}
	r.out.Here = n == len(r.out.Spools)
	if n == 0 || r.out.Here {
		return
	}
	for i, row := range r.delivery.rows {
		if _, known := r.here[strings.ToLower(string(r.out.Spools[i].Code))]; known {
			r.fail(row, "spool", "spool %s is already here and others of this delivery are not; a delivery comes in as a whole", r.out.Spools[i].Code)
		}
	}
}
