package planning

import (
	"fmt"
	"math"
	"math/big"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/requirements"
	"windingroom/internal/stock"
)

// checkPlan holds a plan against its room, rule by rule, without the planner's own arithmetic. It gives what is wrong.
func checkPlan(in Input, p Plan) error {
	c := checker{in: in, spent: map[stock.SpoolCode]measure.Mass{}, served: map[string]int{}, codes: map[batch.Code]bool{}, held: map[stock.SpoolCode][]hold{}}
	if p.Date != in.Date || len(p.Machines) != len(in.Machines) {
		return fmt.Errorf("date %s with %d machines", p.Date, len(p.Machines))
	}
	for _, day := range p.Machines {
		if err := c.day(day); err != nil {
			return fmt.Errorf("machine %s: %w", day.Machine, err)
		}
	}
	if p.Setup != c.setup {
		return fmt.Errorf("setup %s, recomputed %s", p.Setup, c.setup)
	}
	if p.SetupBound > p.Setup || p.SetupBound < 0 {
		return fmt.Errorf("bound %s, setup %s", p.SetupBound, p.Setup)
	}
	if err := c.apart(); err != nil {
		return err
	}
	if err := c.spools(); err != nil {
		return err
	}
	return c.demands(p)
}

type checker struct {
	in     Input
	setup  time.Duration
	spent  map[stock.SpoolCode]measure.Mass
	served map[string]int
	codes  map[batch.Code]bool
	held   map[stock.SpoolCode][]hold
}

// hold is the time in which a machine needs a spool.
type hold struct {
	machine    catalog.MachineCode
	from, till time.Duration
}

// apart says whether every spool is on one machine at a time.
func (c *checker) apart() error {
	for code, holds := range c.held {
		for i, a := range holds {
			for _, b := range holds[:i] {
				if a.machine != b.machine && a.from < b.till && b.from < a.till {
					return fmt.Errorf("spool %s is needed on two machines at a time: %+v and %+v", code, a, b)
				}
			}
		}
	}
	return nil
}

func (c *checker) machine(code catalog.MachineCode) (Machine, bool) {
	for _, m := range c.in.Machines {
		if m.Code == code {
			return m, true
		}
	}
	return Machine{}, false
}

func (c *checker) day(day MachineDay) error {
	m, ok := c.machine(day.Machine)
	if !ok {
		return fmt.Errorf("unknown")
	}
	on := map[string]string{"core": string(m.Loaded.Core.Wire), "core spool": string(m.Loaded.Core.Spool), "scale": fmt.Sprint(m.Loaded.Scale)}
	for i, w := range m.Loaded.Wraps {
		on[fmt.Sprint("layer", i)], on[fmt.Sprint("layer", i, " spool")] = string(w.Wire), string(w.Spool)
	}
	var clock time.Duration
	before := ""
	for i, b := range day.Batches {
		what := fmt.Sprint(b.Recipe, b.Scale)
		if b.Sequence != i+1 || b.Machine != m.Code || c.codes[b.Code] || what == before || b.Starts != clock || b.Status != batch.Proposed {
			return fmt.Errorf("batch %s: sequence %d, starts %s at %s, or wound twice on end", b.Code, b.Sequence, b.Starts, clock)
		}
		c.codes[b.Code], before = true, what
		if err := c.batch(m, b, on); err != nil {
			return fmt.Errorf("batch %s: %w", b.Code, err)
		}
		clock = b.Ends
	}
	if clock > m.PerDay {
		return fmt.Errorf("ends at %s of %s", clock, m.PerDay)
	}
	after := day.After
	if string(after.Core.Wire) != on["core"] || string(after.Core.Spool) != on["core spool"] || fmt.Sprint(after.Scale) != on["scale"] {
		return fmt.Errorf("after the day: %+v, reckoned %v", after, on)
	}
	for i, w := range after.Wraps {
		if string(w.Wire) != on[fmt.Sprint("layer", i)] || string(w.Spool) != on[fmt.Sprint("layer", i, " spool")] {
			return fmt.Errorf("after the day layer %d: %+v, reckoned %v", i, w, on)
		}
	}
	return nil
}

func (c *checker) batch(m Machine, b batch.Batch, on map[string]string) error {
	mk, err := c.in.Bench.Making(b.Recipe, b.Scale)
	if err != nil {
		return err
	}
	if !m.Takes(mk.Plain(), mk.CoreCut) {
		return fmt.Errorf("the machine does not take it")
	}
	if want := slowOverage(b.Ordered, mk.Yield, c.in.Practice.CompletionConfidence); b.ToWind != want {
		return fmt.Errorf("%d ordered, %d to wind, want %d", b.Ordered, b.ToWind, want)
	}
	if b.Run != time.Duration(b.ToWind)*mk.Each || b.Ends-b.Starts != b.Setup+b.Run {
		return fmt.Errorf("run %s of %d, from %s to %s with setup %s", b.Run, b.ToWind, b.Starts, b.Ends, b.Setup)
	}
	sum := 0
	for _, s := range b.Serves {
		sum += s.Strings
		c.served[fmt.Sprint(s.Order, s.Line, s.Position)] += s.Strings
		if s.Strings < 1 || !c.wants(s, b) {
			return fmt.Errorf("serves %+v", s)
		}
	}
	if sum != b.Ordered || b.Ordered < 1 {
		return fmt.Errorf("serves %d of %d ordered", sum, b.Ordered)
	}
	if err := c.draws(mk, b); err != nil {
		return err
	}
	if setup := reckonSetup(c.in.Practice, mk, b, on); setup != b.Setup {
		return fmt.Errorf("setup %s, reckoned %s", b.Setup, setup)
	}
	c.setup += b.Setup
	return nil
}

func (c *checker) wants(s batch.Serve, b batch.Batch) bool {
	for _, d := range c.in.Demands {
		if d.Order == s.Order && d.Line == s.Line && d.Position == s.Position {
			return d.Recipe == b.Recipe && d.Scale == b.Scale
		}
	}
	return false
}

func (c *checker) draws(mk requirements.Making, b batch.Batch) error {
	strings := map[string]int{}
	once := map[stock.SpoolCode]bool{}
	for _, d := range b.Draws {
		if once[d.Spool] {
			return fmt.Errorf("spool %s is put on twice in one batch", d.Spool)
		}
		once[d.Spool] = true
		each := measure.MassEach(-1)
		for _, u := range mk.Uses {
			if u.Wire == d.Wire {
				each = u.Each
			}
		}
		if each < 0 || d.Strings < 1 || d.Mass != each.Times(int64(d.Strings)) {
			return fmt.Errorf("draw %+v with %d ng each", d, each)
		}
		strings[string(d.Wire)] += d.Strings
		c.spent[d.Spool] += d.Mass
		c.held[d.Spool] = append(c.held[d.Spool], hold{b.Machine, b.Starts, b.Ends})
		for _, s := range c.in.Spools {
			if s.Code == d.Spool && s.Wire != d.Wire {
				return fmt.Errorf("draw %+v from a spool of %s", d, s.Wire)
			}
		}
	}
	for _, u := range mk.Uses {
		if strings[string(u.Wire)] != b.ToWind {
			return fmt.Errorf("%d strings drawn of %s for %d", strings[string(u.Wire)], u.Wire, b.ToWind)
		}
	}
	return nil
}

// reckonSetup follows the contract's words: what differs from what is loaded, then the spools, wire by wire.
func reckonSetup(p catalog.Practice, mk requirements.Making, b batch.Batch, on map[string]string) time.Duration {
	wants := map[string]string{"core": string(mk.Core)}
	cost := map[string]time.Duration{"core": p.ChangeCore}
	for i, w := range mk.Wraps {
		wants[fmt.Sprint("layer", i)], cost[fmt.Sprint("layer", i)] = string(w), p.ChangeWrap
	}
	spools := map[string][]string{}
	for _, d := range b.Draws {
		spools[string(d.Wire)] = append(spools[string(d.Wire)], string(d.Spool))
	}
	var setup time.Duration
	for wire, own := range spools {
		already, right := false, false
		for place, want := range wants {
			if want == wire && on[place] == wire {
				already = true
				right = right || on[place+" spool"] == own[0]
			}
		}
		if already && !right {
			setup += p.ChangeSpool
		}
		setup += time.Duration(len(own)-1) * p.ChangeSpool
	}
	for place, want := range wants {
		if on[place] != want {
			setup += cost[place]
		}
		on[place], on[place+" spool"] = want, spools[want][len(spools[want])-1]
	}
	if on["scale"] != fmt.Sprint(b.Scale) {
		setup += p.ChangeLength
	}
	on["scale"] = fmt.Sprint(b.Scale)
	return setup
}

func (c *checker) spools() error {
	for _, s := range c.in.Spools {
		may := s.Mass - s.Allocated
		if s.Mass < s.UsableEnd {
			may = 0
		}
		if c.spent[s.Code] > may {
			return fmt.Errorf("spool %s gives %s of %s", s.Code, c.spent[s.Code], may)
		}
		delete(c.spent, s.Code)
	}
	if len(c.spent) > 0 {
		return fmt.Errorf("unknown spools %v", c.spent)
	}
	return nil
}

func (c *checker) demands(p Plan) error {
	left := map[string]int{}
	for _, n := range p.NotPlanned {
		if n.Strings < 1 || n.Detail == "" || (n.Why != ForWire && n.Why != ForTime && n.Why != ForMachine) {
			return fmt.Errorf("not planned %+v", n)
		}
		left[fmt.Sprint(n.Order, n.Line, n.Position)] += n.Strings
	}
	late := map[string]bool{}
	for _, d := range c.in.Demands {
		key := fmt.Sprint(d.Order, d.Line, d.Position)
		if c.served[key]+left[key] != d.Strings {
			return fmt.Errorf("%s: %d planned and %d not, of %d", key, c.served[key], left[key], d.Strings)
		}
		if d.DueOn < c.in.Date || (d.DueOn == c.in.Date && left[key] > 0) {
			late[string(d.Order)] = true
		}
	}
	if len(late) != len(p.Late) {
		return fmt.Errorf("late %v, reckoned %v", p.Late, late)
	}
	for i, o := range p.Late {
		if !late[string(o)] || (i > 0 && c.due(string(p.Late[i-1])) > c.due(string(o))) {
			return fmt.Errorf("late %v, reckoned %v", p.Late, late)
		}
	}
	return nil
}

func (c *checker) due(order string) calendar.Date {
	for _, d := range c.in.Demands {
		if string(d.Order) == order {
			return d.DueOn
		}
	}
	return math.MaxInt32
}

// slowOverage tries N upwards and sums the binomial probabilities exactly, as fractions.
func slowOverage(ordered int, yield, confidence float64) int {
	y, _ := new(big.Rat).SetString(fmt.Sprint(yield))
	want, _ := new(big.Rat).SetString(fmt.Sprint(confidence))
	bad := new(big.Rat).Sub(big.NewRat(1, 1), y)
	power := func(r *big.Rat, n int) *big.Rat {
		e := big.NewInt(int64(n))
		return new(big.Rat).SetFrac(new(big.Int).Exp(r.Num(), e, nil), new(big.Int).Exp(r.Denom(), e, nil))
	}
	for n := ordered; ; n++ {
		sum := new(big.Rat)
		for k := ordered; k <= n; k++ {
			term := new(big.Rat).SetInt(new(big.Int).Binomial(int64(n), int64(k)))
			sum.Add(sum, term.Mul(term, power(y, k)).Mul(term, power(bad, n-k)))
		}
		if sum.Cmp(want) >= 0 {
			return n
		}
	}
}
