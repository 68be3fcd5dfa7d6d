package promise

import (
	"slices"
	"testing"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/planning"
	"windingroom/internal/requirements"
	"windingroom/internal/stock"
)

// small is a shop with one machine of an hour a day, a recipe of six minutes and 10 g of wire a string, and so much wire.
func small(grams measure.Mass) Room {
	room := Room{Shop: week(), Look: 5}
	room.Input = planning.Input{Date: monday, Practice: catalog.DefaultPractice(),
		Bench:    recipes{"R": {Core: "C", Uses: []requirements.Use{{Wire: "C", Each: 10_000_000_000}}, Each: 6 * time.Minute, Yield: 1}},
		Machines: []planning.Machine{{Machine: catalog.Machine{Code: "M", Winds: catalog.WindsBoth, Longest: 1000 * measure.Millimetre, PerDay: time.Hour}}},
	}
	b := stock.Balance{State: stock.Available, Mass: grams * measure.Gram}
	b.Code, b.Wire = "C-1", "C"
	room.Input.Spools = []stock.Balance{b}
	for i := range 10 {
		room.Days = append(room.Days, Day{Date: room.Shop.AddWorkdays(monday, i)})
	}
	return room
}

func wants(code order.Code, due calendar.Date, strings int) Asked {
	return Asked{Order: code, DueOn: due, Demands: []requirements.Demand{{Order: code, DueOn: due, Line: 1, Position: 1, Recipe: "R", Strings: strings}}}
}

func (r Room) with(a Asked) Room {
	r.Input.Demands = append(slices.Clone(r.Input.Demands), a.Demands...)
	return r
}

func TestWhatDecides(t *testing.T) {
	coming := func(on calendar.Date) Receipt {
		return Receipt{Purchase: "P-1", Wire: "C", Stated: on, On: on, Mass: 500 * measure.Gram, Confidence: .9}
	}
	tests := []struct {
		name   string
		room   Room
		asked  Asked
		on     calendar.Date
		what   What
		unlock Unlock // the first
	}{
		{"there is room on the first day", small(1000), wants("N", 0, 5), monday, Nothing, Unlock{}},
		// 8 min of setup on the first day: eight strings, then ten a day.
		{"more than a day's work", small(1000), wants("N", 0, 20), monday + 2, ByTime, Unlock{How: Overtime, Minutes: 30, On: monday + 1, Machine: "M"}},
		{"another order has the day", small(1000).with(wants("O", monday, 8)), wants("N", 0, 5), monday + 1, ByOrders,
			Unlock{How: Overtime, Minutes: 60, On: monday, Machine: "M"}},
		// Beyond the planned days a day is reckoned, here as two days of work.
		{"wire is short", small(30), wants("N", 0, 5), 0, ByWire, Unlock{How: Buy, On: monday + 9}},
		{"a receipt brings it", func() Room { r := small(30); r.Receipts = []Receipt{coming(monday + 3)}; return r }(), wants("N", 0, 5), monday + 3, Arrival,
			Unlock{How: EarlierWire, On: monday + 1, Days: 2}},
		{"a receipt beyond the planned days", func() Room { r := small(30); r.Receipts = []Receipt{coming(monday + 15)}; return r }(), wants("N", 0, 5), monday + 16, Arrival,
			Unlock{How: EarlierWire, On: monday + 1, Days: 14}},
		{"an overdue receipt is not counted on", func() Room { r := small(30); r.Overdue = []Receipt{coming(monday - 3)}; return r }(), wants("N", 0, 5), 0, ByWire,
			Unlock{How: Arrives, On: monday + 1}},
		{"no machine takes it", func() Room { r := small(1000); r.Input.Machines[0].Winds = catalog.WindsWound; return r }(), wants("N", 0, 5), 0, NoWay, Unlock{}},
		{"the wire is another's", small(60).with(wants("O", monday+20, 5)), wants("N", monday, 3), 0, ByWire, Unlock{How: Buy, On: monday}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			a, err := tt.room.Promise(tt.asked)
			if err != nil {
				t.Fatal(err)
			}
			if a.On != tt.on || a.Decides.What != tt.what {
				t.Errorf("promised for %s, decided by %+v; want %s by %s", a.On, a.Decides, tt.on, tt.what)
			}
			if tt.what == Arrival && (a.Decides.Receipt == nil || a.Confidence != .9) {
				t.Errorf("the receipt %+v, confidence %v", a.Decides.Receipt, a.Confidence)
			}
			list, err := tt.room.Earlier(tt.asked, a, monday, map[material.WireCode]int{"C": 8})
			if err != nil {
				t.Fatal(err)
			}
			var first Unlock
			if len(list) > 0 {
				first = list[0]
			}
			if first.How != tt.unlock.How || first.On != tt.unlock.On || first.Machine != tt.unlock.Machine || first.Minutes != tt.unlock.Minutes || first.Days != tt.unlock.Days {
				t.Errorf("unlocked by %+v, want %+v", first, tt.unlock)
			}
		})
	}
}

// An order that is wanted late does not hold an early day.
func TestAnOrderIsHeldToItsDueDay(t *testing.T) {
	room := small(1000)
	a, err := room.Promise(wants("N", monday+3, 5))
	if err != nil || a.On != monday || a.Holds != monday+3 {
		t.Errorf("promised for %s and held to %s, %v", a.On, a.Holds, err)
	}
	b, err := room.with(wants("N", a.Holds, 5)).Promise(wants("M", monday, 8))
	if err != nil || b.On != monday {
		t.Errorf("an order that is in a hurry is promised for %s, %v", b.On, err)
	}
}

// What was released for an order, and the strings it lacks, are both there when it is complete.
func TestReleasedBatchesAreWaitedFor(t *testing.T) {
	room := small(1000)
	room.Released = map[order.Code]calendar.Date{"N": monday + 4}
	a, err := room.Promise(wants("N", monday, 2))
	if err != nil || a.On != monday+4 {
		t.Errorf("promised for %s, %v", a.On, err)
	}
	if a, err := room.Promise(Asked{Order: "N"}); err != nil || a.On != monday+4 {
		t.Errorf("with nothing left to plan promised for %s, %v", a.On, err)
	}
}

// What stands of a day is left as it is: the order begins after it.
func TestAnOrderBeginsAfterTheKeptDay(t *testing.T) {
	room := small(1000)
	asked := wants("N", monday, 2)
	asked.From = 1
	if a, err := room.Promise(asked); err != nil || a.On != monday+1 {
		t.Errorf("promised for %s, %v", a.On, err)
	}
	if _, err := (Room{}).Promise(asked); err == nil {
		t.Error("promised in a room without days")
	}
}

func TestCompletes(t *testing.T) {
	for _, tt := range []struct {
		ordered, wound int
		want           float64
	}{{6, 7, .955619458}, {6, 8, .994211782}} { // replenishment allowance: q = 6, yield .95 (computed in three ways)
		if got := completes(tt.ordered, tt.wound, .95); got < tt.want-1e-9 || got > tt.want+1e-9 {
			t.Errorf("%d of %d: %v, want %v", tt.ordered, tt.wound, got, tt.want)
		}
	}
}

// An order that is taken on has its place by the day it is held to, whoever else is late.
func TestATakenOrderKeepsItsPlace(t *testing.T) {
	room := small(1000).with(wants("O", monday+1, 8))
	for held, want := range map[calendar.Date]calendar.Date{monday: monday, monday + 2: monday + 1} {
		asked := wants("N", monday, 8)
		asked.HeldTo = held
		if a, err := room.Promise(asked); err != nil || a.On != want || a.Holds != held {
			t.Errorf("held to %s it is wound on %s, %v; want %s", held, a.On, err, want)
		}
	}
}
