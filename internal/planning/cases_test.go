package planning

import (
	"strings"
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/requirements"
	"windingroom/internal/stock"
)

type balance = stock.Balance

func spoolOf(code stock.SpoolCode, wire material.WireCode, mass measure.Mass) stock.Balance {
	b := stock.Balance{Mass: mass}
	b.Code, b.Wire, b.ReceivedOn = code, wire, today
	return b
}

// want asks for strings of the first recipe at 650 mm.
func want(code order.Code, n int, days calendar.Date) []requirements.Demand {
	return []requirements.Demand{{Order: code, DueOn: today + days, Line: 1, Position: 1, Recipe: "R00", Scale: scaleOf(1), Strings: n}}
}

// oneMachine is a room with one machine, an eight-hour day and plenty of wire.
func oneMachine(recipes ...requirements.Making) Input {
	in := Input{Date: today, Practice: catalog.DefaultPractice()}
	shelf := shelfOfRecipes{}
	for i, m := range recipes {
		shelf[recipeCode(i)] = m
		for _, u := range m.Uses {
			in.Spools = append(in.Spools, spoolOf(stock.SpoolCode("S-"+u.Wire), u.Wire, 10*measure.Kilogram))
		}
	}
	in.Bench = shelf
	in.Machines = []Machine{{Machine: catalog.Machine{
		Code: "M1", Winds: catalog.WindsBoth, Longest: 2000 * measure.Millimetre, PerDay: 8 * time.Hour,
	}}}
	return in
}

func planned(p Plan) []batch.Batch {
	var all []batch.Batch
	for _, m := range p.Machines {
		all = append(all, m.Batches...)
	}
	return all
}

func TestOrdersShareABatch(t *testing.T) {
	in := oneMachine(making(time.Minute, 1, "C0", "W0"))
	in.Demands = append(want("O1", 5, 0), want("O2", 7, 1)...)
	p := propose(t, in)
	all := planned(p)
	if len(all) != 1 || all[0].Ordered != 12 || len(all[0].Serves) != 2 || p.Setup != 12*time.Minute || all[0].Code != "B"+batch.Code(today.Time().Format("060102"))+"-01" {
		t.Errorf("got %+v, setup %s", all, p.Setup)
	}
}

func TestAnOrderLargerThanADayMovesOn(t *testing.T) {
	in := oneMachine(making(time.Minute, 1, "C0"), making(time.Minute, 1, "C1"))
	in.Demands = append(want("O1", 5000, 0), want("O2", 100, 1)...)
	in.Demands[1].Recipe = "R01"
	p := propose(t, in)
	if len(p.NotPlanned) != 1 || p.NotPlanned[0].Order != "O1" || p.NotPlanned[0].Why != ForTime || len(p.Late) != 1 {
		t.Fatalf("not planned %+v, late %v", p.NotPlanned, p.Late)
	}
	// 480 min less 8 for the first batch, 6 for the other core (the length is the same) and 100 strings of it.
	if left := p.NotPlanned[0].Strings; left != 5000-366 {
		t.Errorf("%d strings left of 5000, want %d", left, 5000-366)
	}
}

func TestALongBatchIsSplit(t *testing.T) {
	in := oneMachine(making(time.Minute, 1, "C0"))
	second := in.Machines[0]
	second.Code = "M2"
	in.Machines = append(in.Machines, second)
	in.Demands = want("O1", 900, 0)
	if p := propose(t, in); len(planned(p)) != 1 || p.NotPlanned[0].Why != ForWire {
		t.Errorf("one spool cannot be on two machines all day: got %+v", p)
	}
	in.Spools = append(in.Spools, spoolOf("S2", "C0", 10*measure.Kilogram))
	p := propose(t, in)
	if len(p.NotPlanned) != 0 || len(p.Machines[0].Batches) != 1 || len(p.Machines[1].Batches) != 1 {
		t.Errorf("got %+v", p)
	}
}

func TestWhy(t *testing.T) {
	plainOnly := func(in *Input) { in.Machines[0].Winds = catalog.WindsPlain }
	short := func(in *Input) { in.Machines[0].Longest = 800 * measure.Millimetre }
	noWire := func(in *Input) { in.Spools[1].Mass = 10 * measure.Gram }
	remnant := func(in *Input) {
		noWire(in)
		end := spoolOf("E", "W0", 3*measure.Gram)
		end.UsableEnd = 4 * measure.Gram
		in.Spools = append(in.Spools, end)
	}
	crumbs := func(in *Input) {
		in.Spools = in.Spools[:1]
		for i := range 12 { // 24 g, but a string takes 2.3 g
			in.Spools = append(in.Spools, spoolOf(stock.SpoolCode(rune('a'+i)), "W0", 2*measure.Gram))
		}
	}
	for _, c := range []struct {
		name   string
		change func(*Input)
		each   time.Duration
		why    Why
		detail string
	}{
		{"no machine", plainOnly, time.Minute, ForMachine, "no machine winds wound strings"},
		{"too long", short, time.Minute, ForMachine, "the core cut is 880 mm; the longest a machine for wound strings takes is 800 mm"},
		// 10 strings take 23.00000140 g of the wrap; 4 are wound; 6 more take 13.800 g and 0.8 g is there.
		{"wire", noWire, time.Minute, ForWire, "wire W0 is short by 13.001 g"},
		{"remnants", remnant, time.Minute, ForWire, "wire W0 is short by 13.001 g; 3 g more lie in remnants"},
		{"crumbs", crumbs, time.Minute, ForWire, "too nearly empty"},
		{"time", func(*Input) {}, 2 * time.Hour, ForTime, "no time"},
	} {
		in := oneMachine(making(c.each, 1, "C0", "W0"))
		in.Demands = want("O1", 10, 0)
		c.change(&in)
		p := propose(t, in)
		if len(p.NotPlanned) != 1 || p.NotPlanned[0].Why != c.why || !strings.Contains(p.NotPlanned[0].Detail, c.detail) {
			t.Errorf("%s: got %+v", c.name, p.NotPlanned)
		}
	}
}

func TestScarceWireGoesToTheEarliestOrder(t *testing.T) {
	in := oneMachine(making(time.Minute, 1, "C0", "W0"))
	in.Spools[1].Mass = 20 * measure.Gram // eight strings
	in.Demands = append(append(want("A", 6, 2), want("B", 7, 0)...), want("D", 1, 3)...)
	p := propose(t, in)
	if len(p.NotPlanned) != 1 || p.NotPlanned[0].Order != "A" || p.NotPlanned[0].Strings != 6 {
		t.Errorf("got %+v, want order A left out: B is due first, and D still fits after it", p.NotPlanned)
	}
}

func TestSpoolsAreChosenWithSense(t *testing.T) {
	type draws = map[stock.SpoolCode]int
	spool := func(code stock.SpoolCode, grams int, end measure.Mass, age calendar.Date) stock.Balance {
		b := spoolOf(code, "C0", measure.Mass(grams)*measure.Gram)
		b.UsableEnd, b.ReceivedOn = end, today-age
		return b
	}
	for _, c := range []struct {
		name   string
		spools []stock.Balance
		loaded stock.SpoolCode
		want   draws // of ten strings of 1.4 g
	}{
		{"the oldest that holds all", []stock.Balance{spool("A", 100, 0, 1), spool("B", 100, 0, 9), spool("D", 10, 0, 20)}, "", draws{"B": 10}},
		{"the loaded one before the oldest", []stock.Balance{spool("A", 100, 0, 1), spool("B", 100, 0, 9)}, "A", draws{"A": 10}},
		{"no remnant where there is a choice", []stock.Balance{spool("A", 100, 9_000, 1), spool("B", 20, 9_000, 9)}, "", draws{"A": 10}},
		{"a usable end is kept when a second spool is needed anyway", []stock.Balance{spool("A", 13, 2_800, 1), spool("B", 12, 2_800, 9)}, "", draws{"A": 7, "B": 3}},
		{"nothing from a remnant", []stock.Balance{spool("A", 20, 0, 1), spool("B", 19, 19_001, 9)}, "", draws{"A": 10}},
	} {
		in := oneMachine(making(time.Minute, 1, "C0"))
		in.Spools, in.Demands = c.spools, want("O1", 10, 0)
		if c.loaded != "" {
			in.Machines[0].Loaded = Loaded{Core: Place{"C0", c.loaded}}
		}
		got := draws{}
		for _, b := range planned(propose(t, in)) {
			for _, d := range b.Draws {
				got[d.Spool] += d.Strings
			}
		}
		if len(got) != len(c.want) {
			t.Errorf("%s: got %v, want %v", c.name, got, c.want)
		}
		for s, n := range c.want {
			if got[s] != n {
				t.Errorf("%s: got %v, want %v", c.name, got, c.want)
			}
		}
	}
}

func TestProposeRefuses(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Input)
		says   string
	}{
		{"an unknown recipe", func(in *Input) { in.Demands[0].Recipe = "R77" }, "R77"},
		{"a yield of nothing", func(in *Input) { in.Bench = shelfOfRecipes{"R00": making(1, 0, "C0")} }, "recipe R00: yield 0"},
		{"no core", func(in *Input) { in.Bench = shelfOfRecipes{"R00": making(1, 1, "")} }, "recipe R00: core"},
		{"four wraps", func(in *Input) { in.Bench = shelfOfRecipes{"R00": making(1, 1, "C0", "W", "W", "W", "W")} }, "4 wraps"},
		{"a machine twice", func(in *Input) { in.Machines = append(in.Machines, in.Machines[0]) }, "machine M1 is there twice"},
		{"a confidence of 2", func(in *Input) { in.Practice.CompletionConfidence = 2 }, "completion_confidence"},
	} {
		in := oneMachine(making(time.Minute, 1, "C0"))
		in.Demands = want("O1", 1, 0)
		c.change(&in)
		if _, err := Propose(in); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: got %v", c.name, err)
		}
	}
}

func TestAnEmptyRoom(t *testing.T) {
	p := propose(t, Input{Date: today, Practice: catalog.DefaultPractice()})
	if p.Setup != 0 || p.SetupBound != 0 || len(p.Machines) != 0 || len(p.NotPlanned) != 0 {
		t.Errorf("got %+v", p)
	}
	in := oneMachine(making(time.Minute, 1, "C0"))
	in.Machines, in.Demands = nil, want("O1", 3, 0)
	if p := propose(t, in); len(p.NotPlanned) != 1 || p.NotPlanned[0].Why != ForMachine {
		t.Errorf("no machine: got %+v", p)
	}
}

// One spool, two machines with a day of an hour: what does not fit on the first waits for its spool.
func TestAStringWaitsForASpool(t *testing.T) {
	in := oneMachine(making(time.Minute, 1, "C0"))
	in.Machines[0].PerDay = time.Hour
	second := in.Machines[0]
	second.Code = "M2"
	in.Machines, in.Demands = append(in.Machines, second), want("O1", 100, 0)
	if p := propose(t, in); len(p.NotPlanned) != 1 || p.NotPlanned[0].Why != ForWire || p.NotPlanned[0].Detail != "other machines need the spools of wire C0 when there is time to wind it" {
		t.Errorf("got %+v", p.NotPlanned)
	}
	in.Machines[1].PerDay = 90 * time.Minute // a machine that takes most of it
	if p := propose(t, in); len(p.NotPlanned) != 1 || p.NotPlanned[0].Strings != 100-82 {
		t.Errorf("got %+v", p.NotPlanned)
	}
}
