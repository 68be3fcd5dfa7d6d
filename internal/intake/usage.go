package intake

import (
	"cmp"
	"slices"
	"strings"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
)

// usageRows keeps a million rows in 24 bytes each: codes are numbers into the interners.
type usageRows struct {
	rows          []usageRow
	wires, orders *interner

	day     calendar.Date // of the row before: rows mostly come in order of days
	dayText string
}

type usageRow struct {
	mass  measure.Mass
	on    calendar.Date
	wire  int32
	order int32 // 0 where none was noted
	line  int32
}

func newUsageRows() usageRows {
	u := usageRows{wires: newInterner(), orders: newInterner()}
	u.orders.add("")
	return u
}

func (u *usageRows) take(r *row) {
	next := usageRow{
		on:    u.date(r, "used_on"),
		wire:  r.interned("wire", u.wires, r.code),
		mass:  r.grams("mass_g", measure.Milligram),
		order: r.interned("order", u.orders, r.codeGiven),
		line:  int32(r.line),
	}
	if r.faulty == 0 {
		u.rows = append(u.rows, next)
	}
}

func (u *usageRows) date(r *row, column string) calendar.Date {
	text, ok := r.given(column)
	if ok && text == u.dayText {
		return u.day
	}
	day := r.date(column)
	if r.sound(column) {
		u.day, u.dayText = day, strings.Clone(text)
	}
	return day
}

// interned gives the number of a code; only a spelling not met before is read and checked.
func (r *row) interned(column string, codes *interner, read func(string) string) int32 {
	text, _ := r.given(column)
	if id, met := codes.find(text); met && r.sound(column) {
		return id
	}
	code := read(column)
	if !r.sound(column) {
		return 0
	}
	return codes.add(code)
}

// takeUsage adds the rows the shop does not have yet. Equal rows of one day are counted: of three in the file and two in
// the shop, the third is new.
func (r *resolution) takeUsage() {
	u := &r.folder.usage
	wires, orders := r.usageWires(), r.usageOrders()
	byWire, byOrder := ranks(wires), ranks(orders)
	rows := slices.Clone(u.rows)
	slices.SortFunc(rows, func(a, b usageRow) int {
		return cmp.Or(cmp.Compare(a.on, b.on), cmp.Compare(byWire[a.wire], byWire[b.wire]),
			cmp.Compare(byOrder[a.order], byOrder[b.order]), cmp.Compare(a.mass, b.mass))
	})
	if len(r.known.Usage) == 0 {
		r.facts.Usage = slices.Grow(r.facts.Usage, len(rows)) // all of them are new
	}
	for from := 0; from < len(rows); {
		first, to := rows[from], from+1
		for to < len(rows) && rows[to].sameUse(first) {
			to++
		}
		r.addUsage(stock.Usage{On: first.on, Wire: material.WireCode(wires[first.wire]), Mass: first.mass, Order: orders[first.order]}, to-from)
		from = to
	}
}

func (a usageRow) sameUse(b usageRow) bool {
	a.line = b.line
	return a == b
}

// ranks gives for each number of a code its place in the order of codes.
func ranks(codes []string) []int32 {
	order := make([]int32, len(codes))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(a, b int32) int { return cmp.Compare(codes[a], codes[b]) })
	rank := make([]int32, len(codes))
	for place, id := range order {
		rank[id] = int32(place)
	}
	return rank
}

func (r *resolution) addUsage(used stock.Usage, rows int) {
	have := r.known.Usage[used]
	c := &r.counts[usageFile]
	c.Unchanged += min(have, rows)
	for nth := have + 1; nth <= rows; nth++ {
		c.Added++
		used.Nth = nth
		r.facts.Usage = append(r.facts.Usage, used)
	}
}

// usageWires spells the wires of the usage rows as the shop does and tells the rows that name an unknown one.
func (r *resolution) usageWires() []string {
	u := &r.folder.usage
	spelled := make([]string, len(u.wires.codes))
	for i, code := range u.wires.codes {
		spelled[i] = r.wires.items[key(code)].code
	}
	for _, row := range u.rows {
		if spelled[row.wire] == "" {
			refer(r, &r.wires, usageFile, int(row.line), "wire", u.wires.codes[row.wire])
		}
	}
	return spelled
}

// usageOrders spells the orders of the usage rows as earlier usage does, else as the shop's orders, else as the file.
// They need not be orders the shop has: most are long gone.
func (r *resolution) usageOrders() []string {
	u := &r.folder.usage
	spelled := slices.Clone(u.orders.codes)
	if len(spelled) == 1 {
		return spelled
	}
	spell := func(code string) {
		if id, ok := u.orders.folded[key(code)]; ok {
			spelled[id] = code
		}
	}
	for _, o := range r.known.Orders {
		spell(string(o.Code))
	}
	for used := range r.known.Usage {
		spell(used.Order)
	}
	return spelled
}
