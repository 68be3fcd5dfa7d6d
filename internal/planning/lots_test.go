package planning

import (
	"testing"
	"time"

	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
)

// Two machines wind two strings of an order at a time: their core is of one lot though another lot has the next oldest spool, but
// not where no second spool of the lot is there.
func TestAnOrdersStringsAreOfOneLot(t *testing.T) {
	for _, c := range []struct {
		name string
		lots []string // oldest first
		one  bool
	}{
		{"the lot has a second spool", []string{"A", "B", "A"}, true},
		{"a newer lot has two", []string{"A", "B", "B"}, true},
		{"every spool is of its own lot", []string{"A", "B", "C"}, false},
	} {
		in := oneMachine(making(time.Minute, 1, "C0", "W0"), making(time.Minute, 1, "C0", "W1"))
		in.Machines = append(in.Machines, Machine{Machine: catalog.Machine{
			Code: "M2", Winds: catalog.WindsBoth, Longest: 2000 * measure.Millimetre, PerDay: 8 * time.Hour,
		}})
		in.Spools = in.Spools[:0]
		for i, lot := range c.lots {
			s := spoolOf(stock.SpoolCode("C"+string(rune('0'+i))), "C0", 10*measure.Kilogram)
			s.Lot = lot
			in.Spools = append(in.Spools, s)
		}
		in.Spools = append(in.Spools, spoolOf("W0", "W0", 10*measure.Kilogram), spoolOf("W1", "W1", 10*measure.Kilogram))
		in.Demands = append(want("O1", 300, 0), want("O1", 300, 0)...)
		in.Demands[1].Recipe, in.Demands[1].Position = "R01", 2
		p := propose(t, in)
		lots, spools := map[string]bool{}, map[stock.SpoolCode]bool{}
		for _, b := range planned(p) {
			for _, dr := range b.Draws {
				if dr.Wire == "C0" {
					spools[dr.Spool] = true
					lots[c.lots[dr.Spool[1]-'0']] = true
				}
			}
		}
		if len(p.NotPlanned) > 0 || len(spools) != 2 || (len(lots) == 1) != c.one {
			t.Errorf("%s: lots %v from spools %v, not planned %+v", c.name, lots, spools, p.NotPlanned)
		}
	}
}
