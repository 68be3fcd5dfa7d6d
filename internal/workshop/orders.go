package workshop

import (
	"context"
	"slices"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/promise"
	"windingroom/internal/requirements"
)

// OrderStory is one order with what it still takes.
type OrderStory struct {
	Order     order.Order
	Open      []requirements.Demand   // strings neither in a released batch nor wound
	Good      []batch.Serve           // good strings that exist, by line and position
	Needs     []requirements.WireNeed // wire for the open strings, expected scrap included
	Wires     []OrderWire             // the same wires with what the order holds and may be promised
	Shortages []requirements.Shortage // wires that hold this order up, once earlier orders are served
	Learned   []Learned               // of its recipes that have results
	Promised  *promise.Answer         // the earliest day for it; nil where none was asked for, or nothing is left to wind
}

// OrderWire is one wire that an order needs for its open strings.
type OrderWire struct {
	Wire material.WireCode
	Promise
	Available measure.Mass  // may be promised by the due date beside all other orders: below zero, that much too much is promised
	From      calendar.Date // the first day on which all that is needed may be promised; zero where nothing on its way brings enough
}

// Order tells the story of one order; ErrNotFound when there is none. Everyone in the shop may see it.
func (s *Shop) Order(ctx context.Context, code order.Code) (OrderStory, error) {
	if _, err := allow(ctx, "seeing orders", Roles()...); err != nil {
		return OrderStory{}, err
	}
	var story OrderStory
	var q question
	err := s.Store.Read(ctx, func(r Reader) (err error) {
		if story, err = s.storyOf(r, code); err == nil && promisable(story.Order) && !withoutDay(ctx) {
			q, err = s.ask(r, story.Order)
		}
		return err
	})
	if err != nil || !promisable(story.Order) || withoutDay(ctx) {
		return story, err
	}
	answer, err := q.room.Promise(q.asked)
	story.Promised = &answer
	return story, err
}

func (s *Shop) storyOf(r Reader, code order.Code) (story OrderStory, err error) {
	o, err := r.Order(code)
	if err != nil {
		return story, err
	}
	return s.tell(r, o)
}

// tell tells the story of an order as it is given, which the shop may have otherwise, or not at all.
func (s *Shop) tell(r Reader, o order.Order) (story OrderStory, err error) {
	story.Order = o
	if story.Good, err = r.GoodStrings(o.Code); err != nil {
		return story, err
	}
	bench, demands, err := openDemand(r)
	if err != nil {
		return story, err
	}
	if o.Status == order.Draft { // what it would take
		asked := o
		asked.Status = order.Confirmed
		covered, err := r.CoveredOf(o.Code)
		if err != nil {
			return story, err
		}
		demands = slices.DeleteFunc(demands, func(d requirements.Demand) bool { return d.Order == o.Code })
		demands = append(demands, requirements.Open([]order.Order{asked}, covered)...)
		slices.SortFunc(demands, requirements.Compare)
	}
	for _, d := range demands {
		if d.Order == o.Code {
			story.Open = append(story.Open, d)
		}
	}
	if story.Needs, err = bench.Explode(story.Open); err != nil {
		return story, err
	}
	if story.Wires, err = s.wiresFor(r, bench, demands, story); err != nil {
		return story, err
	}
	all, err := shortages(r, bench, demands)
	if err != nil {
		return story, err
	}
	for _, short := range all {
		if short.HoldsUp(o.Code) {
			story.Shortages = append(story.Shortages, short)
		}
	}
	story.Learned, err = learnedOf(r, recipesOf(o))
	return story, err
}

// wiresFor puts beside each wire that an order needs what it holds, and what may be promised to it: the least projected balance
// from its due date on, with every other order taking its own on its due date.
func (s *Shop) wiresFor(r Reader, bench *requirements.Bench, demands []requirements.Demand, story OrderStory) ([]OrderWire, error) {
	if len(story.Needs) == 0 {
		return nil, nil
	}
	held, err := r.AllocatedTo(story.Order.Code)
	if err != nil {
		return nil, err
	}
	others, err := flows(bench, slices.DeleteFunc(slices.Clone(demands), func(d requirements.Demand) bool { return d.Order == story.Order.Code }))
	if err != nil {
		return nil, err
	}
	codes := make([]material.WireCode, len(story.Needs))
	for i, n := range story.Needs {
		codes[i] = n.Wire
	}
	spools, err := r.SpoolsOf(codes...)
	if err != nil {
		return nil, err
	}
	scheduled, err := r.ScheduledReceipts()
	if err != nil {
		return nil, err
	}
	onHand, coming := map[material.WireCode]measure.Mass{}, map[material.WireCode][]requirements.Flow{}
	for _, b := range spools {
		onHand[b.Wire] += b.Drawable()
	}
	for _, sr := range scheduled {
		coming[sr.Wire] = append(coming[sr.Wire], requirements.Flow{On: sr.On, Mass: sr.Mass})
	}
	wires := make([]OrderWire, len(story.Needs))
	for i, n := range story.Needs {
		p := requirements.Project(s.Today(), onHand[n.Wire], coming[n.Wire], others[n.Wire])
		wires[i] = OrderWire{Wire: n.Wire, Promise: Promise{Needed: n.Mass, Mass: held[n.Wire].Mass}, Available: p.Promise(max(story.Order.DueOn, s.Today()))}
		wires[i].From, _ = p.Earliest(n.Mass)
	}
	return wires, nil
}

// flows gives what the demands of each order take of each wire on the order's due date.
func flows(bench *requirements.Bench, demands []requirements.Demand) (map[material.WireCode][]requirements.Flow, error) {
	of := map[material.WireCode][]requirements.Flow{}
	for len(demands) > 0 {
		n := slices.IndexFunc(demands, func(d requirements.Demand) bool { return d.DueOn != demands[0].DueOn })
		if n < 0 {
			n = len(demands)
		}
		needs, err := bench.Explode(demands[:n])
		if err != nil {
			return nil, err
		}
		for _, need := range needs {
			of[need.Wire] = append(of[need.Wire], requirements.Flow{On: demands[0].DueOn, Mass: need.Mass})
		}
		demands = demands[n:]
	}
	return of, nil
}

// Shortages lists the wires of which open orders need more than is free, with the orders each one holds up, earliest due
// first. Everyone in the shop may see it.
func (s *Shop) Shortages(ctx context.Context) ([]requirements.Shortage, error) {
	if _, err := allow(ctx, "seeing shortages", Roles()...); err != nil {
		return nil, err
	}
	var list []requirements.Shortage
	err := s.Store.Read(ctx, func(r Reader) error {
		bench, demands, err := openDemand(r)
		if err != nil {
			return err
		}
		list, err = shortages(r, bench, demands)
		return err
	})
	return list, err
}

func shortages(r Reader, bench *requirements.Bench, demands []requirements.Demand) ([]requirements.Shortage, error) {
	spools, err := r.Spools()
	if err != nil {
		return nil, err
	}
	return bench.Shortages(demands, spools)
}
