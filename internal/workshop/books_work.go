package workshop

import (
	"cmp"
	"fmt"
	"maps"

	"slices"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/order"
	"windingroom/internal/requirements"
)

// OrderCost is what the strings of one position of an order cost. Strings of no order went to finished stock, or are none at all: what was
// spent on scrap beyond the expected.
type OrderCost struct {
	Order    order.Code
	Line     int
	Position int
	Recipe   catalog.RecipeCode
	Scale    measure.Size
	Beyond   bool // scrap beyond the expected, and what came too late for any string
	costing.StringCost
	Time     time.Duration
	Standard money.Minor
}

// job is what a batch did in these months. Of one that was taken back everything counts against them.
type job struct {
	costing.Batch
	recipe catalog.RecipeCode
	scale  measure.Size
	sign   money.Minor // 1, or −1 where it was taken back
	setup  time.Duration
	on     calendar.Date
	given  []batch.Serve
}

type jobKey struct {
	code batch.Code
	back bool
}

// work costs what was wound.
func (k *bookkeeping) work() error {
	jobs := map[jobKey]*job{}
	at := func(code batch.Code, back bool, machine catalog.MachineCode, recipe catalog.RecipeCode, scale measure.Size) *job {
		key := jobKey{code, back}
		if jobs[key] == nil {
			jobs[key] = &job{recipe: recipe, scale: scale, sign: 1, on: k.books.To.Last(),
				Batch: costing.Batch{Code: string(code), Recipe: string(recipe), Machine: string(machine)}}
			if back {
				jobs[key].sign = -1
			}
		}
		return jobs[key]
	}
	err := k.r.Work(k.books.From.First(), k.books.To.Last(), func(w WorkDone) error {
		k.wound(at(w.Batch, w.TakenBack, w.Machine, w.Recipe, w.Scale), w)
		return nil
	})
	if err != nil {
		return err
	}
	charges, err := k.r.Charges(k.books.From.First(), k.books.To.Last())
	if err != nil {
		return err
	}
	for i, cost := range k.costsOf(charges) {
		if c := charges[i]; c.Batch != "" {
			j := at(c.Batch, false, c.Machine, c.Recipe, c.Scale)
			j.Uses = append(j.Uses, costing.Use{Wire: c.Wire, Lot: c.Lot, Mass: -c.Mass, Cost: -cost})
			k.charged -= cost
		}
	}
	return k.cost(jobs)
}

func (k *bookkeeping) wound(j *job, w WorkDone) {
	j.Good, j.Scrapped = j.Good+w.Good, j.Scrapped+w.Scrapped
	if w.Number == 1 {
		j.setup = w.Setup
	}
	if !w.TakenBack {
		j.on = w.WoundOn
	}
	labour := costing.LabourCost(w.Minutes, k.books.PerHour)
	j.Works = append(j.Works, costing.Work{Person: w.Person, Strings: w.Good + w.Scrapped, Time: w.Minutes, Cost: labour})
	k.labour += j.sign * labour
	for _, d := range w.Draws {
		cost := k.drawn[d.Movement]
		if w.TakenBack {
			cost = k.back[d.Movement]
		}
		j.Uses = append(j.Uses, costing.Use{Wire: d.Wire, Lot: d.Lot, Strings: d.Strings, Mass: d.Mass, Cost: cost})
	}
	j.given = append(j.given, w.Given...)
}

// costsOf splits the cost of each weighing over its shares by their mass; the parts sum to it.
func (k *bookkeeping) costsOf(charges []Charge) []money.Minor {
	costs := make([]money.Minor, 0, len(charges))
	for from := 0; from < len(charges); {
		to := from
		var weights []int64
		for ; to < len(charges) && charges[to].Movement == charges[from].Movement; to++ {
			weights = append(weights, int64(max(charges[to].Mass, -charges[to].Mass)))
		}
		costs = append(costs, money.SplitLargestRemainder(k.weighed[charges[from].Movement], weights)...)
		from = to
	}
	return costs
}

// cost puts each batch beside its standard, and its cost on the strings it made.
func (k *bookkeeping) cost(jobs map[jobKey]*job) error {
	standards, err := newStandards(k.r, k.books.PerHour)
	if err != nil {
		return err
	}
	rows := map[OrderCost]*OrderCost{}
	keys := slices.SortedFunc(maps.Keys(jobs), func(a, b jobKey) int {
		return cmp.Or(cmp.Compare(jobs[a].on, jobs[b].on), cmp.Compare(a.code, b.code), cmp.Compare(btoi(a.back), btoi(b.back)))
	})
	for _, key := range keys {
		j := jobs[key]
		var standard costing.Standard
		if standard, j.Yield, err = standards.of(j); err != nil {
			return err
		}
		compared := costing.Compare(j.Batch, standard)
		for _, v := range compared.Variances {
			v.Amount *= j.sign
			k.books.Variances = append(k.books.Variances, v)
		}
		k.spread(rows, j, compared.Standard.Total())
		cost := costing.CostBatch(j.signed())
		k.books.Journal = append(k.books.Journal, k.shop.BooksSetup.Accounts.Batch(j.on, string(key.code), cost)...)
	}
	for _, row := range rows {
		k.books.Orders = append(k.books.Orders, *row)
	}
	slices.SortFunc(k.books.Orders, func(a, b OrderCost) int {
		return cmp.Or(cmp.Compare(btoi(a.Beyond), btoi(b.Beyond)), cmp.Compare(btoi(a.Order == ""), btoi(b.Order == "")), cmp.Compare(a.Order, b.Order),
			a.Line-b.Line, a.Position-b.Position, cmp.Compare(a.Recipe, b.Recipe), cmp.Compare(a.Scale, b.Scale))
	})
	return nil
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// signed gives the batch with its money as it counts.
func (j *job) signed() costing.Batch {
	b := j.Batch
	b.Uses, b.Works = slices.Clone(b.Uses), slices.Clone(b.Works)
	for i := range b.Uses {
		b.Uses[i].Cost *= j.sign
	}
	for i := range b.Works {
		b.Works[i].Cost *= j.sign
	}
	return b
}

// spread puts the cost of a batch on the strings it made; scrap beyond the expected has a row of its own for each recipe.
func (k *bookkeeping) spread(rows map[OrderCost]*OrderCost, j *job, standard money.Minor) {
	cost := costing.CostBatch(j.signed())
	var worked time.Duration
	for _, w := range j.Works {
		worked += w.Time
	}
	strings := make([]int, len(j.given))
	weights := make([]int64, len(j.given))
	for i, g := range j.given {
		strings[i], weights[i] = g.Strings, int64(g.Strings)
	}
	standards, times := money.SplitLargestRemainder(standard*j.sign, weights), money.SplitLargestRemainder(worked, weights)
	for i, part := range cost.Share(strings) {
		g := j.given[i]
		row := rowOf(rows, OrderCost{Order: g.Order, Line: g.Line, Position: g.Position, Recipe: j.recipe, Scale: j.scale})
		row.Strings += part.Strings * int(j.sign)
		row.Wire, row.NormalScrap, row.Labour = row.Wire+part.Wire, row.NormalScrap+part.NormalScrap, row.Labour+part.Labour
		row.Time, row.Standard = row.Time+times[i]*time.Duration(j.sign), row.Standard+standards[i]
	}
	if cost.Abnormal.Total() != 0 || cost.Scrap.Abnormal != 0 {
		row := rowOf(rows, OrderCost{Recipe: j.recipe, Scale: j.scale, Beyond: true})
		row.Strings += cost.Scrap.Abnormal * int(j.sign)
		row.Wire, row.Labour = row.Wire+cost.Abnormal.Wire, row.Labour+cost.Abnormal.Labour
	}
}

func rowOf(rows map[OrderCost]*OrderCost, key OrderCost) *OrderCost {
	if rows[key] == nil {
		row := key
		rows[key] = &row
	}
	return rows[key]
}

// standards knows what strings should take: computed from recipes as they are stated, at suppliers' list prices.
type standards struct {
	bench   *requirements.Bench
	recipes map[catalog.RecipeCode]catalog.Recipe
	prices  map[material.WireCode]money.Minor
	perHour money.Minor
}

func newStandards(r Reader, perHour money.Minor) (*standards, error) {
	alloys, err := allAlloys(r)
	if err != nil {
		return nil, err
	}
	wires, err := r.Wires()
	if err != nil {
		return nil, err
	}
	recipes, err := r.Recipes()
	if err != nil {
		return nil, err
	}
	practice, err := r.Practice()
	if err != nil {
		return nil, err
	}
	s := &standards{recipes: map[catalog.RecipeCode]catalog.Recipe{}, prices: map[material.WireCode]money.Minor{}, perHour: perHour}
	if s.bench, err = requirements.NewBench(alloys, wires, recipes, practice); err != nil {
		return nil, err
	}
	for _, w := range wires {
		s.prices[w.Code] = w.PricePerKg
	}
	for _, c := range recipes {
		s.recipes[c.Code] = c
	}
	return s, nil
}

// of gives the standard of a batch and the yield that its recipe states.
func (s *standards) of(j *job) (costing.Standard, float64, error) {
	recipe := s.recipes[j.recipe]
	uses, err := s.bench.Uses(j.recipe, j.scale)
	if err != nil {
		return costing.Standard{}, 0, fmt.Errorf("batch %s: %w", j.Code, err)
	}
	out := costing.Standard{Setup: j.setup, Time: recipe.MinutesEach, PerHour: s.perHour}
	for _, u := range uses {
		out.Wires = append(out.Wires, costing.StandardWire{Wire: u.Wire, Each: u.Each, PerKg: s.prices[u.Wire]})
	}
	return out, recipe.Yield, nil
}
