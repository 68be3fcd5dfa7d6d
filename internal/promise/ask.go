package promise

import (
	"errors"
	"fmt"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/planning"
	"windingroom/internal/requirements"
)

// ErrNoDays says that a room has no working day to come, or none on which the order may be wound.
var ErrNoDays = errors.New("no working day to come")

// last ranks an order behind all others.
const last calendar.Date = 1 << 30

// search looks for the day of one order.
type search struct {
	Room
	asked   Asked
	results []Result       // of the days before the order's first, which go as they go without it
	begins  planning.Input // the room as the order's first day begins
	without trial
	tried   map[calendar.Date]trial
	makings map[kind]requirements.Making
	wound   map[ordered]int // strings to wind
}

// kind is what strings are alike in.
type kind struct {
	recipe catalog.RecipeCode
	scale  measure.Size
}

type ordered struct {
	strings int
	yield   float64
}

// trial is the room with the order held to a day.
type trial struct {
	results []Result // of the days from the order's first on
	end     planning.Input
	done    map[order.Code]calendar.Date // of orders whose last strings are wound on these days

	needs map[material.WireCode]measure.Mass // of what is left, at most
	works map[kind]work                      // as far as it was asked
}

// work is the days of work that a kind of strings may have to wait for, and the machine whose they are.
type work struct{ days, machine int }

// Promise gives the earliest day for which an order may be promised so that no other order becomes late by it, or later than it
// would be without. An order held to its due day has its place among the others by that day, and so had this one in the plans
// that were tried; the day that is given was tried, or is reckoned beyond the planned days.
//
// An order that is taken on already has its place: the answer is the day on which it is complete there.
func (r Room) Promise(asked Asked) (Answer, error) {
	return remembered(r.Memo, func() key { return r.key(asked) }, func() (Answer, error) {
		if !asked.HeldTo.IsZero() {
			return r.expect(asked)
		}
		a, err := r.briefly().find(asked)
		if err != nil || r.Brief || a.On.IsZero() && a.Decides.What != ByOrders {
			return a, err
		}
		return r.check(asked, a)
	})
}

func (r Room) briefly() Room {
	r.Brief = true
	return r
}

func (r Room) find(asked Asked) (Answer, error) {
	s, err := r.begin(asked)
	if err != nil {
		return Answer{}, err
	}
	return s.find()
}

// check plans the days as they will be planned, without the order and with it held to the days that a brief search gave. A day that is
// kept there too is the answer; else one is looked for among days so planned, in a large room only from the day on that the order has
// behind all others.
func (r Room) check(asked Asked, a Answer) (Answer, error) {
	s, err := r.begin(asked)
	if err != nil {
		return Answer{}, err
	}
	if len(asked.Demands) == 0 {
		return s.find()
	}
	kept := false
	if !a.On.IsZero() {
		if kept, err = s.stands(a.On); err != nil {
			return Answer{}, err
		}
	}
	switch {
	case kept:
	case len(r.Input.Demands) <= smallRoom:
		return s.find()
	default:
		if a, err = s.behind(); err != nil || a.On.IsZero() {
			return a, err
		}
	}
	a.Holds = a.On
	return s.hold(a)
}

// smallRoom is how many string positions are to be wound where days are planned in no time.
const smallRoom = 40

// mostBehind is how many days are tried from the one on that the order has behind all others.
const mostBehind = 2

// behind gives the first day that is kept of those from the one on that the order has behind all others.
func (s *search) behind() (Answer, error) {
	t, err := s.try(last)
	if err != nil {
		return Answer{}, err
	}
	if late := s.harmed(t, last); len(late) > 0 {
		return Answer{Decides: s.crowded(t, late)}, nil
	}
	to, planned := t.done[s.asked.Order]
	if !planned {
		return s.beyond(t)
	}
	for range mostBehind {
		kept, err := s.stands(to)
		if err != nil {
			return Answer{}, err
		}
		if kept {
			return s.answer(to, s.tried[to], t)
		}
		to = s.Shop.NextWorkday(to)
	}
	return Answer{Decides: Reason{What: ByOrders, Detail: "no place among the orders taken on before was found"}}, nil
}

// stands says whether the order, held to a day, is complete by then, planned or reckoned, and no other becomes late by it.
func (s *search) stands(day calendar.Date) (bool, error) {
	t, err := s.try(day)
	if err != nil {
		return false, err
	}
	on, _ := s.reckonAsked(t)
	return !on.IsZero() && on <= day && len(s.harmed(t, day)) == 0, nil
}

func (r Room) search(asked Asked) *search {
	return &search{Room: r, asked: asked, begins: r.Input, tried: map[calendar.Date]trial{}, makings: map[kind]requirements.Making{}, wound: map[ordered]int{}}
}

func (r Room) begin(asked Asked) (*search, error) {
	if len(r.Days) == 0 || asked.From >= len(r.Days) {
		return nil, ErrNoDays
	}
	s := r.search(asked)
	before := r
	before.Days = r.Days[:asked.From]
	var err error
	if s.results, s.begins, err = before.simulate(r.Input, 0, nil); err != nil {
		return nil, err
	}
	return s, s.look()
}

// look plans the days without the order, at first as many as are wanted, then more while an order that waits for nothing is neither
// complete nor shown to be wound by its day.
func (s *search) look() (err error) {
	all := s.Days
	n := len(all)
	if s.Look > 0 {
		n = min(n, max(s.Look, s.asked.From+1))
	}
	for ; ; n++ {
		s.Days = all[:n]
		if s.without, err = s.more(s.without); err != nil || n == len(all) || !s.unshown() {
			return err
		}
	}
}

// more plans the days that a trial without the order does not have yet.
func (s *search) more(t trial) (trial, error) {
	in := s.begins
	if len(t.results) > 0 {
		in = t.end
	}
	results, end, err := s.simulate(in, s.asked.From+len(t.results), nil)
	return s.trialOf(append(t.results, results...), end), err
}

// unshown says whether an order that is not complete, and whose wire is there or on its way, is not shown to be wound by its day.
func (s *search) unshown() bool {
	for _, d := range s.without.end.Demands {
		if by, _ := s.reckon(s.without, d.Order); by != nil && by.on > d.DueOn {
			return true
		}
	}
	return false
}

// run plans the days from the order's first on with further demands.
func (s *search) run(more []requirements.Demand) (trial, error) {
	results, end, err := s.simulate(s.begins, s.asked.From, more)
	return s.trialOf(results, end), err
}

// trialOf notes when each order is complete.
func (s *search) trialOf(results []Result, end planning.Input) trial {
	t := trial{results: results, end: end, done: map[order.Code]calendar.Date{}, needs: map[material.WireCode]measure.Mass{}, works: map[kind]work{}}
	for _, d := range end.Demands {
		for _, n := range s.need(d) {
			t.needs[n.Wire] += n.Mass
		}
	}
	open := map[order.Code]bool{}
	for i := len(t.results) - 1; i >= 0; i-- {
		for _, d := range t.results[i].Left {
			open[d.Order] = true
		}
		for _, d := range t.results[i].In.Demands {
			if !open[d.Order] {
				t.done[d.Order] = max(t.results[i].In.Date, s.Released[d.Order])
				open[d.Order] = true
			}
		}
	}
	return t
}

// held gives the order's demands as they are when it is held to a day.
func (s *search) held(to calendar.Date) []requirements.Demand {
	demands := make([]requirements.Demand, len(s.asked.Demands))
	for i, d := range s.asked.Demands {
		d.Order, d.DueOn = s.asked.Order, to
		demands[i] = d
	}
	return demands
}

// try plans the days with the order held to a day.
func (s *search) try(to calendar.Date) (trial, error) {
	t, known := s.tried[to]
	if known {
		return t, nil
	}
	t, err := s.run(s.held(to))
	if err != nil {
		return t, fmt.Errorf("held to %s: %w", to, err)
	}
	s.tried[to] = t
	return t, nil
}

// find gives the first planned day that holds, else one beyond.
func (s *search) find() (Answer, error) {
	if len(s.asked.Demands) == 0 { // nothing left to wind that is not in a released batch
		on := max(s.Released[s.asked.Order], s.Days[0].Date)
		return Answer{On: on, Holds: max(on, s.asked.DueOn), Planned: true, Confidence: s.confidence(Answer{}), Decides: Reason{What: Nothing}}, nil
	}
	days := s.Days[s.asked.From:]
	first, err := s.try(days[0].Date)
	if err != nil {
		return Answer{}, err
	}
	on, ok := first.done[s.asked.Order]
	if !ok {
		return s.beyond(first)
	}
	kept, t, err := s.keeps(on)
	if err != nil || kept {
		return s.answered(on, t, first, err)
	}
	behind, err := s.try(last)
	if err != nil {
		return Answer{}, err
	}
	until, ok := behind.done[s.asked.Order]
	if late := s.harmed(behind, last); !ok || len(late) > 0 { // not even behind all others is there a place within these days
		return s.beyond(first)
	}
	return s.between(days, on, until, first)
}

// keeps says whether the order, held to a day, is complete by then and no other becomes late by it.
func (s *search) keeps(on calendar.Date) (bool, trial, error) {
	t, err := s.try(on)
	if err != nil {
		return false, t, err
	}
	done, ok := t.done[s.asked.Order]
	return ok && done <= on && len(s.harmed(t, on)) == 0, t, nil
}

// between looks by halves for the first day that is kept after one that is not, up to the day that the order has behind all others; where
// that one is not kept either, for the first after it. The later its day, the less it is before others: only tried days are given all the same.
func (s *search) between(days []Day, not, until calendar.Date, first trial) (Answer, error) {
	var low, high int // of the days: not kept, and kept
	for i, d := range days {
		if d.Date <= not {
			low = i
		}
	}
	for high = low + 1; high < len(days); high++ {
		if days[high].Date < until {
			continue
		}
		kept, _, err := s.keeps(days[high].Date)
		if err != nil {
			return Answer{}, err
		}
		if kept {
			break
		}
		low = high
	}
	if high == len(days) {
		return s.beyond(first)
	}
	for high-low > 1 {
		half := low + (high-low)/2
		kept, _, err := s.keeps(days[half].Date)
		if err != nil {
			return Answer{}, err
		}
		if kept {
			high = half
		} else {
			low = half
		}
	}
	t, err := s.try(days[high].Date)
	return s.answered(days[high].Date, t, first, err)
}

func (s *search) answered(on calendar.Date, t, first trial, err error) (Answer, error) {
	if err != nil {
		return Answer{}, err
	}
	return s.answer(on, t, first)
}

// expect gives the day on which an order is complete at the place it has. What the other orders want is in one simulation with it, so
// that nothing is compared.
func (r Room) expect(asked Asked) (Answer, error) {
	if len(r.Days) == 0 || asked.From >= len(r.Days) {
		return Answer{}, ErrNoDays
	}
	s := r.search(asked)
	if r.Look > 0 {
		s.Days = r.Days[:min(len(r.Days), max(r.Look, asked.From+1))]
	}
	if len(asked.Demands) == 0 {
		return s.find()
	}
	before := s.Room
	before.Days = s.Days[:asked.From]
	var err error
	if s.results, s.begins, err = before.simulate(r.Input, 0, nil); err != nil {
		return Answer{}, err
	}
	t, err := s.try(asked.HeldTo)
	if err != nil {
		return Answer{}, err
	}
	on, a := s.reckonAsked(t)
	a.On, a.Holds = on, asked.HeldTo
	if _, planned := t.done[asked.Order]; planned {
		a.Planned = true
	}
	if !on.IsZero() {
		a.Confidence = s.confidence(a)
	}
	return a, nil
}

// answer explains a day that was tried.
func (s *search) answer(on calendar.Date, t, first trial) (Answer, error) {
	a := Answer{On: on, Planned: true, Decides: s.decides(on, t, first)}
	a.Confidence = s.confidence(a)
	return s.hold(a)
}

// hold gives the order its due day to be held to, where that is the later one and can be kept, else the promised day.
func (s *search) hold(a Answer) (Answer, error) {
	a.Holds = a.On
	due := s.asked.DueOn
	if due <= a.On {
		return a, nil
	}
	kept, err := s.stands(due)
	if kept {
		a.Holds = due
	}
	return a, err
}
