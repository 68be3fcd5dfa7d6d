package planning

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/requirements"
	"windingroom/internal/stock"
)

// busyRoom is an invented shop's busy day: 400 orders of 5 strings over some 300 recipes and scales, 60 wires with 40 part-used
// spools each, 4 machines. load is the winding time as a share of the machines' time, setup left out.
func busyRoom(orders int, load float64) Input {
	r := rand.New(rand.NewPCG(7, uint64(orders)))
	in := Input{Date: today, Practice: catalog.DefaultPractice()}
	cores, wraps := wireNames("C", 20), wireNames("W", 40)
	strings := orders * 5 * 2
	each := time.Duration(load * float64(4*8*time.Hour) / float64(strings) / 1.25)
	recipes := shelfOfRecipes{}
	for i := range 100 {
		core := pick(r, cores)
		m := making(each, 0.96, core)
		if i%3 > 0 {
			m = making(each, 0.96, core, pick(r, wraps))
		}
		recipes[recipeCode(i)] = m
	}
	in.Bench = recipes
	for _, w := range append(cores, wraps...) {
		for i := range 40 {
			b := spoolOf(stock.SpoolCode(fmt.Sprintf("%s-%d", w, i)), w, measure.Mass(between(r, 5, 900))*measure.Gram)
			b.Lot = fmt.Sprintf("%s-%d", w, i%10)
			b.UsableEnd, b.ReceivedOn = 15*measure.Gram, today-calendar.Date(between(r, 0, 300))
			in.Spools = append(in.Spools, b)
		}
	}
	for i := range 4 {
		in.Machines = append(in.Machines, Machine{Machine: catalog.Machine{
			Code: catalog.MachineCode(fmt.Sprintf("M%d", i)), Winds: catalog.WindsBoth, Longest: 2000 * measure.Millimetre, PerDay: 8 * time.Hour,
		}})
	}
	for o := range orders {
		due, scale := today+calendar.Date(between(r, 0, 5)), scaleOf(between(r, 0, 2))
		for p := range 5 {
			in.Demands = append(in.Demands, requirements.Demand{
				Order: order.Code(fmt.Sprintf("O%04d", (o*7919)%10007)), DueOn: due, Line: 1, Position: p + 1,
				Recipe: recipeCode(between(r, 0, 99)), Scale: scale, Strings: between(r, 1, 3),
			})
		}
	}
	return in
}

// asItComes gives the setup of a plan's own batches in the sequence they were first wanted, or by recipe, dealt out to the
// machine that is free first: what a room without a planner does.
func asItComes(in Input, p Plan, byRecipe bool) time.Duration {
	all := planned(p)
	due := map[order.Code]calendar.Date{}
	for _, d := range in.Demands {
		due[d.Order] = d.DueOn
	}
	slices.SortStableFunc(all, func(a, b batch.Batch) int {
		if byRecipe && a.Recipe != b.Recipe {
			return cmp.Compare(string(a.Recipe), string(b.Recipe))
		}
		return cmp.Compare(fmt.Sprint(due[a.Serves[0].Order], a.Serves[0].Order), fmt.Sprint(due[b.Serves[0].Order], b.Serves[0].Order))
	})
	on, clock := make([]Loaded, len(in.Machines)), make([]time.Duration, len(in.Machines))
	var setup time.Duration
	for _, b := range all {
		m := 0
		for i := range clock {
			if clock[i] < clock[m] {
				m = i
			}
		}
		mk, _ := in.Bench.Making(b.Recipe, b.Scale)
		var cost time.Duration
		cost, on[m] = SetupOf(on[m], mk, b.Scale, b.Draws, in.Practice)
		setup += cost
		clock[m] += cost + b.Run
	}
	return setup
}

// BenchmarkDay plans busy days and compares the setup with its bound and with what two simple sequences would take.
func BenchmarkDay(b *testing.B) {
	for _, c := range []struct {
		orders int
		load   float64
	}{{20, 0.3}, {100, 0.3}, {400, 0.3}, {400, 0.9}} {
		b.Run(fmt.Sprintf("orders=%d/load=%v", c.orders, c.load), func(b *testing.B) {
			in := busyRoom(c.orders, c.load)
			var p Plan
			for b.Loop() {
				p = propose(b, in)
			}
			b.ReportMetric(float64(len(planned(p))), "batches")
			b.ReportMetric(float64(completed(in, p)), "complete")
			b.ReportMetric(p.Setup.Minutes(), "setup-min")
			b.ReportMetric(float64(p.Setup)/float64(p.SetupBound), "over-bound")
			b.ReportMetric(float64(p.Setup)/float64(asItComes(in, p, false)), "of-arrival")
			b.ReportMetric(float64(p.Setup)/float64(asItComes(in, p, true)), "of-by-recipe")
		})
	}
}

func TestABusyDayKeepsTheRules(t *testing.T) {
	for _, load := range []float64{0.3, 0.9} {
		in := busyRoom(400, load)
		if err := checkPlan(in, propose(t, in)); err != nil {
			t.Error(err)
		}
	}
}
