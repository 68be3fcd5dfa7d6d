package replenishment

import (
	"slices"
	"testing"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
)

// A purchase past due keeps its day, is named, and is not ordered a second time.
func TestAPurchasePastDueIsNotOrderedAgain(t *testing.T) {
	in := shop()
	in.Spools[0].Mass = 240 * gram
	late := Receipt{"P-1", "A", today - 9, 500 * gram}
	in.Receipts = []Receipt{late}
	n := one(t, in)
	if n.Suggest != 0 || n.Available != 740*gram || n.OnOrder != 500*gram || !slices.Equal(n.Overdue, []Receipt{late}) {
		t.Errorf("%+v", n)
	}
	if n.RunOut != today+25 { // the projection does not count on it
		t.Errorf("runs out %s", n.RunOut)
	}
}

// Booked demand is counted until the supplier has delivered with the wanted confidence: 22 days, and four for a spread of two.
func TestBookedDemandWithinTheSpreadOfTheLeadTime(t *testing.T) {
	in := shop()
	in.Notices = slices.Repeat([]Notice{{60, gram}}, fewNotices)
	in.Booked = []Need{{"O-1", "A", today + 26, 1200 * gram}}
	if n := one(t, in); n.Available != -200*gram || n.Alert != Order {
		t.Errorf("%+v", n)
	}
	in.Booked[0].On++
	if n := one(t, in); n.Available != 1000*gram || n.Alert != Watch {
		t.Errorf("a day later: %+v", n)
	}
}

// What is bought beyond the shortage covers the time to the next order once: by its expected use, or by what is booked then if that is more.
func TestPurchaseCoversBookedDemandOnce(t *testing.T) {
	in := shop()
	in.Notices = slices.Repeat([]Notice{{60, gram}}, fewNotices)
	in.Spools = nil
	in.Booked = []Need{{"O-1", "A", today + 5, 100 * gram}, {"O-2", "A", today + 30, 600 * gram}} // an order costs nothing here: a week's use
	if n := one(t, in); n.Suggest != 750*gram {
		t.Errorf("suggests %v for 100 g and 600 g", n.Suggest)
	}
	in.Booked[1].Mass = 20 * gram
	if n := one(t, in); n.Suggest != 250*gram {
		t.Errorf("suggests %v for 100 g and a week", n.Suggest)
	}
}

func TestOrderByStaysInThePast(t *testing.T) {
	in := shop()
	in.Spools[0].Mass = 150 * gram
	n := one(t, in)
	if n.OrderBy >= today || n.OrderBy != n.RunOutSoon-21 {
		t.Errorf("runs out %s, order by %s", n.RunOutSoon, n.OrderBy)
	}
	if p := Night(in).Purchases[0]; p.OrderBy != n.OrderBy {
		t.Errorf("the purchase says %s", p.OrderBy)
	}
}

func TestHistories(t *testing.T) {
	usage := []stock.Usage{
		{On: today - 1, Wire: "A", Mass: 4}, {On: today - 7, Wire: "A", Mass: 5}, {On: today - 8, Wire: "A", Mass: 7},
		{On: today - 22, Wire: "A", Mass: 1}, {On: today, Wire: "A", Mass: 99}, {On: today + 3, Wire: "A", Mass: 99},
		{On: today - 7*historyWeeks, Wire: "B", Mass: 3}, {On: today - 7*historyWeeks - 1, Wire: "B", Mass: 99}, {On: today - 2, Wire: "C", Mass: 9},
		{On: today - 3, Wire: "A", Mass: -5}, {On: today - 365, Wire: "B", Mass: 2},
	}
	h := Histories(today, []material.WireCode{"A", "B"}, usage, []Gap{{"A", today - 18, today - 15}, {"A", today - 10, today - 8}})
	if want := []float64{1, 7, 9}; !slices.Equal(h[0].Weeks, want) {
		t.Errorf("weeks %v, want %v", h[0].Weeks, want)
	}
	if h[0].Largest != 7 || len(h[0].Lines) != 4 || h[0].LastUse != today-1 {
		t.Errorf("%+v", h[0])
	}
	if len(h[1].Weeks) != historyWeeks || h[1].Weeks[0] != 3 || h[1].Largest != 2 {
		t.Errorf("%d weeks, largest of the last year %v", len(h[1].Weeks), h[1].Largest)
	}
}

// A family's demand is scaled by section: a wire of twice the diameter takes four times the mass for the same length.
func TestFamilyOfOtherWires(t *testing.T) {
	wires := []Wire{round("A", 10, ""), round("B", 20, ""), round("C", 20, "")}
	wires[2].Alloy = "other"
	f := familySizes(wires, []History{{Weeks: []float64{10, 0, 20}}, {}, {Weeks: []float64{7}}})
	if got := f.of(&wires[1]); !near(got, 60, 1e-9) {
		t.Errorf("from a mean of 15 on half the diameter: %v, want 60", got)
	}
	if got := f.of(&wires[0]); got != 0 {
		t.Errorf("its own demand came back as its family's: %v", got)
	}
	f = familySizes(wires, []History{{Weeks: []float64{10, 0, 20}}, {Weeks: []float64{40}}, {}})
	if got := f.of(&wires[0]); !near(got, 10, 1e-9) {
		t.Errorf("a quarter of 40: %v", got)
	}
}

// A new wire of a known family is bought by the family's demand, not by its one small use.
func TestThinHistoryLeansOnTheFamily(t *testing.T) {
	in := shop()
	in.Wires = append(in.Wires, round("B", 13, "slow"))
	in.Usage = append(in.Usage, stock.Usage{On: today - 30, Wire: "B", Mass: gram})
	with := Night(in).Wires[1]
	in.Usage = slices.DeleteFunc(in.Usage, func(u stock.Usage) bool { return u.Wire == "A" })
	without := Night(in).Wires[1]
	if with.Method != OccurrenceSize || with.OrderPoint < 10*without.OrderPoint {
		t.Errorf("order point %v, without a family %v", with.OrderPoint, without.OrderPoint)
	}
}

func TestBalanceOfTheQuarter(t *testing.T) {
	in := shop()
	in.Receipts = []Receipt{{"P-1", "A", today + 9, 500 * gram}}
	points := one(t, in).Balance
	at := slices.IndexFunc(points, func(p Point) bool { return p.On == today+9 })
	if at < 0 || points[at].Expected != (1500-90)*gram || points[0].Expected != 1000*gram || points[len(points)-1].On != today+calendar.Date(91) {
		t.Errorf("%+v", points)
	}
	var last measure.Mass = 1 << 60
	for _, p := range points[at:] {
		if p.Expected > last {
			t.Errorf("rises on %s", p.On)
		}
		last = p.Expected
	}
}
