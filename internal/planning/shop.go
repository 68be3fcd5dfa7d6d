package planning

import (
	"cmp"
	"fmt"
	"slices"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/planning/sequencing"
	"windingroom/internal/requirements"
	"windingroom/internal/stock"
)

// shop is a room in numbers: everything is sorted and named by its index, so that the search compares integers and never
// meets the order in which its input arrived.
type shop struct {
	date          calendar.Date
	practice      catalog.Practice
	rates         rates
	machines      []Machine // by code
	starts        []fitting // what each machine has loaded
	regular       []int64   // ns a day without overtime
	capacity      []int64   // ns a day with the overtime that is allowed
	shifts        [][]sequencing.Shift
	terms         map[order.Code]Terms
	pinning       bool // machines keep the spools of scarce wires all day
	scrapPerMount measure.Size
	before        []batch.Batch // whose codes go on
	lastNumber    int           // that a batch of the day was given
	quick         bool
	closed        int // machine that takes no new batch, or none
	demands       []requirements.Demand
	orders        [][]int      // demands of each order, in due order
	admission     [][]int      // the same in the order in which they come in
	large         map[int]bool // by first demand, as far as it was asked: an order too large for an empty day
	groups        []group
	groupOf       []int // of each demand
	wires         []wire
	shelf         map[stock.SpoolCode]place // where each drawable spool is found
}

// group is all strings of one recipe at one scale length.
type group struct {
	recipe  catalog.RecipeCode
	scale   measure.Size
	making  requirements.Making
	fitting fitting
	each    int64 // ns
	uses    []use
	takes   []bool // by machine
	overage map[int]int
}

type use struct {
	wire int
	each measure.MassEach
}

// wire is a stocked wire with its drawable spools, oldest first.
type wire struct {
	code   material.WireCode
	spools []spool
	total  measure.Mass
	ends   measure.Mass     // free, but on remnants
	each   measure.MassEach // the most one string takes of it
	cut    measure.Size     // core cut of that string
}

type spool struct {
	code   stock.SpoolCode
	lot    string
	free   measure.Mass
	usable measure.Mass
	home   int // machine it is loaded on when the day begins, or -1
}

type groupKey struct {
	recipe catalog.RecipeCode
	scale  measure.Size
}

func newShop(in Input, extra ...groupKey) (*shop, error) {
	s := &shop{large: map[int]bool{}, date: in.Date, practice: in.Practice, rates: ratesOf(in.Practice), terms: in.Terms, scrapPerMount: in.ScrapPerMount, closed: none, quick: in.Quick,
		before: in.Before, lastNumber: in.LastNumber}
	s.machines = slices.Clone(in.Machines)
	slices.SortFunc(s.machines, func(a, b Machine) int { return cmp.Compare(a.Code, b.Code) })
	for i, m := range s.machines {
		if i > 0 && s.machines[i-1].Code == m.Code {
			return nil, fmt.Errorf("machine %s is there twice", m.Code)
		}
		if err := s.addHours(m, in.Overtime); err != nil {
			return nil, err
		}
	}
	s.addDemands(in.Demands)
	if err := s.addGroups(in.Bench, extra); err != nil {
		return nil, err
	}
	s.number(in.Spools)
	return s, nil
}

func (s *shop) addDemands(demands []requirements.Demand) {
	for _, d := range demands {
		if d.Strings > 0 {
			s.demands = append(s.demands, d)
		}
	}
	slices.SortFunc(s.demands, requirements.Compare)
	for i, d := range s.demands {
		if i == 0 || s.demands[i-1].Order != d.Order {
			s.orders = append(s.orders, nil)
		}
		last := len(s.orders) - 1
		s.orders[last] = append(s.orders[last], i)
	}
	s.admission = s.orders
}

// addGroups gathers the demands, and what stands besides, by recipe and scale; groups are numbered in the order of their names.
func (s *shop) addGroups(bench Bench, extra []groupKey) error {
	keys := make([]groupKey, len(s.demands))
	for i, d := range s.demands {
		keys[i] = groupKey{d.Recipe, d.Scale}
	}
	distinct := append(slices.Clone(keys), extra...)
	slices.SortFunc(distinct, func(a, b groupKey) int {
		return cmp.Or(cmp.Compare(a.recipe, b.recipe), cmp.Compare(a.scale, b.scale))
	})
	distinct = slices.Compact(distinct)
	index := make(map[groupKey]int, len(distinct))
	for i, k := range distinct {
		m, err := bench.Making(k.recipe, k.scale)
		if err != nil {
			return err
		}
		if err := check(m, k.recipe, s.practice.CompletionConfidence); err != nil {
			return err
		}
		g := group{recipe: k.recipe, scale: k.scale, making: m, each: int64(m.Each), overage: map[int]int{0: 0}}
		for _, machine := range s.machines {
			g.takes = append(g.takes, !machine.Down && machine.Takes(m.Plain(), m.CoreCut))
		}
		s.groups = append(s.groups, g)
		index[k] = i
	}
	for _, k := range keys {
		s.groupOf = append(s.groupOf, index[k])
	}
	return nil
}

// check refuses a making that no plan could be made of.
func check(m requirements.Making, recipe catalog.RecipeCode, confidence float64) error {
	switch {
	case m.Core == "":
		return fmt.Errorf("recipe %s: core: a wire is wanted", recipe)
	case len(m.Wraps) > catalog.MaxWraps:
		return fmt.Errorf("recipe %s: %d wraps: at most %d are wound", recipe, len(m.Wraps), catalog.MaxWraps)
	case m.Each < 0:
		return fmt.Errorf("recipe %s: minutes_each: zero or more is wanted", recipe)
	}
	for _, u := range m.Uses {
		if u.Each < 0 {
			return fmt.Errorf("recipe %s: wire %s: a mass of zero or more is wanted", recipe, u.Wire)
		}
	}
	if _, err := Overage(1, m.Yield, confidence); err != nil {
		return fmt.Errorf("recipe %s: %w", recipe, err)
	}
	return nil
}

// toWind gives the strings to wind for a number ordered, remembered per group.
func (s *shop) toWind(g, ordered int) int {
	group := &s.groups[g]
	n, known := group.overage[ordered]
	if !known {
		n, _ = Overage(ordered, group.making.Yield, s.practice.CompletionConfidence) // checked when the group was made
		group.overage[ordered] = n
	}
	return n
}
