package workshop

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/costing"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

// OrderCost is what the strings of one position of an order cost. Strings of no order went to finished stock, or are none at all: what was
// spent on scrap beyond the expected, or on strings that were made in an earlier month.
type OrderCost struct {
	Order    order.Code
	Line     int
	Position int
	Recipe   catalog.RecipeCode
	Scale    measure.Size
	Beyond   bool // scrap beyond the expected
	Earlier  bool // differences of weighings of strings made in an earlier month: variance of their usage
	costing.StringCost
	Time     time.Duration
	Standard money.Minor
}

// monthCosts is what the movements of a month cost by the books' methods.
type monthCosts struct {
	drawn   map[stock.MovementID]money.Minor // of each draw, above zero
	back    map[stock.MovementID]money.Minor // of each draw that was taken back, what its wire was put back at
	weighed map[stock.MovementID]money.Minor // of each difference and each that takes one back, signed
}

func newMonthCosts() *monthCosts {
	return &monthCosts{map[stock.MovementID]money.Minor{}, map[stock.MovementID]money.Minor{}, map[stock.MovementID]money.Minor{}}
}

func (c *monthCosts) post(p costing.Posted, f costing.Formula) {
	cost := p.Costs.Of(f)
	switch {
	case p.Column == costing.Drawn && p.Reverses != 0:
		c.back[p.Reverses] = cost
	case p.Column == costing.Drawn:
		c.drawn[p.ID] = -cost
	case p.Column == costing.Difference:
		c.weighed[p.ID] = cost
	}
}

// monthWork is what was wound in a month, costed.
type monthWork struct {
	Orders    []OrderCost
	Variances []costing.Variance
	batches   []costedBatch
	charged   money.Minor // to batches, above zero where wire was missing
	labour    money.Minor
}

type costedBatch struct {
	on   calendar.Date
	code batch.Code
	cost costing.BatchCost
}

// job is what a batch did in the month. Of one that was taken back everything counts against it.
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

// workOf costs what was wound in a month.
func workOf(r Reader, month costing.Period, costs *monthCosts, std *standards) (*monthWork, error) {
	w := &monthWork{}
	jobs := map[jobKey]*job{}
	at := func(code batch.Code, back bool, machine catalog.MachineCode, recipe catalog.RecipeCode, scale measure.Size) *job {
		key := jobKey{code, back}
		if jobs[key] == nil {
			jobs[key] = &job{recipe: recipe, scale: scale, sign: 1, on: month.Last(),
				Batch: costing.Batch{Code: string(code), Recipe: string(recipe), Machine: string(machine)}}
			if back {
				jobs[key].sign = -1
			}
		}
		return jobs[key]
	}
	err := r.Work(month.First(), month.Last(), func(done WorkDone) error {
		j := at(done.Batch, done.TakenBack, done.Machine, done.Recipe, done.Scale)
		w.labour += j.sign * j.wound(done, costs, std.PerHour)
		return nil
	})
	if err != nil {
		return nil, err
	}
	charges, err := r.Charges(month.First(), month.Last())
	if err != nil {
		return nil, err
	}
	for i, cost := range costs.of(charges) {
		if c := charges[i]; c.Batch != "" {
			j := at(c.Batch, false, c.Machine, c.Recipe, c.Scale)
			j.Uses = append(j.Uses, costing.Use{Wire: c.Wire, Lot: c.Lot, Mass: -c.Mass, Cost: -cost})
			w.charged -= cost
		}
	}
	return w, w.cost(jobs, std)
}

// wound adds a result to its job and gives its labour.
func (j *job) wound(w WorkDone, costs *monthCosts, perHour money.Minor) money.Minor {
	j.Good, j.Scrapped = j.Good+w.Good, j.Scrapped+w.Scrapped
	if w.Number == 1 {
		j.setup = w.Setup
	}
	if !w.TakenBack {
		j.on = w.WoundOn
	}
	labour := costing.LabourCost(w.Minutes, perHour)
	j.Works = append(j.Works, costing.Work{Person: w.Person, Strings: w.Good + w.Scrapped, Time: w.Minutes, Cost: labour})
	for _, d := range w.Draws {
		cost := costs.drawn[d.Movement]
		if w.TakenBack {
			cost = costs.back[d.Movement]
		}
		j.Uses = append(j.Uses, costing.Use{Wire: d.Wire, Lot: d.Lot, Strings: d.Strings, Mass: d.Mass, Cost: cost})
	}
	j.given = append(j.given, w.Given...)
	return labour
}

// of splits the cost of each weighing over its shares by their mass; the parts sum to it.
func (c *monthCosts) of(charges []Charge) []money.Minor {
	costs := make([]money.Minor, 0, len(charges))
	for from := 0; from < len(charges); {
		to := from
		var weights []int64
		for ; to < len(charges) && charges[to].Movement == charges[from].Movement; to++ {
			weights = append(weights, int64(max(charges[to].Mass, -charges[to].Mass)))
		}
		costs = append(costs, money.SplitLargestRemainder(c.weighed[charges[from].Movement], weights)...)
		from = to
	}
	return costs
}

// cost puts each batch beside its standard, and its cost on the strings it made.
func (w *monthWork) cost(jobs map[jobKey]*job, std *standards) (err error) {
	rows := orderRows{}
	keys := slices.SortedFunc(maps.Keys(jobs), func(a, b jobKey) int {
		return cmp.Or(cmp.Compare(jobs[a].on, jobs[b].on), cmp.Compare(a.code, b.code), cmp.Compare(btoi(a.back), btoi(b.back)))
	})
	for _, key := range keys {
		j := jobs[key]
		var standard costing.Standard
		if standard, j.Yield, err = std.of(j); err != nil {
			return err
		}
		compared := costing.Compare(j.Batch, standard)
		for _, v := range compared.Variances {
			v.Amount *= j.sign
			w.Variances = append(w.Variances, v)
		}
		cost := costing.CostBatch(j.signed())
		rows.spread(j, cost, compared.Standard.Total())
		w.batches = append(w.batches, costedBatch{j.on, key.code, cost})
	}
	w.Orders = rows.sorted()
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

// freeze adds the rows of the sheets Order cost and Variance to the hash of a closed month.
func (w *monthWork) freeze(d *costing.Digest) {
	number := func(n int64) string { return strconv.FormatInt(n, 10) }
	for _, o := range w.Orders {
		d.Row("order cost", string(o.Order), number(int64(o.Line)), number(int64(o.Position)), string(o.Recipe), number(int64(o.Scale)),
			strconv.FormatBool(o.Beyond), strconv.FormatBool(o.Earlier), number(int64(o.Strings)), number(int64(o.Wire)), number(int64(o.NormalScrap)),
			number(int64(o.Labour)), number(int64(o.Time)), number(int64(o.Standard)))
	}
	for _, v := range w.Variances {
		d.Row("variance", string(v.Kind), v.Batch, v.Recipe, v.Machine, v.Person, string(v.Wire), v.Lot, number(int64(v.Amount)))
	}
}
