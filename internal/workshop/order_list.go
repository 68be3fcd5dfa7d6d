package workshop

import (
	"context"
	"slices"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/planning"
	"windingroom/internal/requirements"
)

// OrderStand is an order with how it stands. The day it is due is the one that it is held to: a later one where the shop promised that.
type OrderStand struct {
	Order  order.Order
	Left   int                 // strings in no released batch and not wound; of an order that is not open none
	Late   bool                // open, and its due day is over
	Short  []material.WireCode // wires that do not reach to it, and nothing on its way brings enough by its due day
	Waits  []material.WireCode // wires that do not reach to it yet; what is on its way does by its due day
	NoTime bool                // no plan winds it by its due day: the machines lack the minutes
}

// AtRisk says whether the order will not be ready on its due day as things are.
func (o OrderStand) AtRisk() bool { return o.Late || o.NoTime || len(o.Short) > 0 }

// Orders lists the orders in some states, or all, by due day and code, with how those that are open stand. Everyone in the shop may see
// them.
func (s *Shop) Orders(ctx context.Context, states ...order.Status) ([]OrderStand, error) {
	if _, err := allow(ctx, "seeing orders", Roles()...); err != nil {
		return nil, err
	}
	var list []OrderStand
	err := s.Store.Read(ctx, func(r Reader) error {
		orders, err := r.Orders(OrderFilter{Status: states})
		if err != nil {
			return err
		}
		list = make([]OrderStand, len(orders))
		for i, o := range orders {
			list[i].Order = o
		}
		if !slices.ContainsFunc(orders, order.Order.Open) {
			return nil
		}
		return s.stand(r, list)
	})
	return list, err
}

// stand says of the open orders of a list how they stand among all open ones.
func (s *Shop) stand(r Reader, list []OrderStand) error {
	bench, demands, err := openDemand(r)
	if err != nil {
		return err
	}
	short, err := shortages(r, bench, demands)
	if err != nil {
		return err
	}
	wire, err := s.projections(r, bench, demands, short)
	if err != nil {
		return err
	}
	room, err := s.roomUntil(r)
	if err != nil {
		return err
	}
	late, err := planning.Overfull(demands, bench, room)
	if err != nil {
		return err
	}
	left := map[order.Code]int{}
	for _, d := range demands {
		left[d.Order] += d.Strings
	}
	for i := range list {
		o := &list[i]
		if !o.Order.Open() {
			continue
		}
		o.Left, o.Late, o.NoTime = left[o.Order.Code], o.Order.HeldTo() < s.Today(), slices.Contains(late, o.Order.Code)
		for _, w := range short {
			switch {
			case !w.HoldsUp(o.Order.Code):
			case wire[w.Wire].Balance(o.Order.HeldTo()) < 0:
				o.Short = append(o.Short, w.Wire)
			default:
				o.Waits = append(o.Waits, w.Wire)
			}
		}
	}
	return nil
}

// projections gives the projected balance of the wires that are short, with every open order taking its own on its due day.
func (s *Shop) projections(r Reader, bench *requirements.Bench, demands []requirements.Demand, short []requirements.Shortage) (map[material.WireCode]requirements.Projection, error) {
	if len(short) == 0 {
		return nil, nil
	}
	takes, err := flows(bench, demands)
	if err != nil {
		return nil, err
	}
	coming, err := comingIn(r)
	if err != nil {
		return nil, err
	}
	of := map[material.WireCode]requirements.Projection{}
	for _, w := range short {
		of[w.Wire] = requirements.Project(s.Today(), w.Drawable, coming[w.Wire], takes[w.Wire])
	}
	return of, nil
}

// comingIn gives the wire on its way, by wire.
func comingIn(r Reader) (map[material.WireCode][]requirements.Flow, error) {
	scheduled, err := r.ScheduledReceipts()
	if err != nil {
		return nil, err
	}
	of := map[material.WireCode][]requirements.Flow{}
	for _, sr := range scheduled {
		of[sr.Wire] = append(of[sr.Wire], requirements.Flow{On: sr.On, Mass: sr.Mass})
	}
	return of, nil
}

// mostDaysOfRoom bounds how far machine time is added up; nobody plans further.
const mostDaysOfRoom = 400

// roomUntil gives the machine time from today until a day is over, less what released batches take of it.
func (s *Shop) roomUntil(r Reader) (func(calendar.Date) planning.Room, error) {
	machines, err := r.Machines()
	if err != nil {
		return nil, err
	}
	released, err := r.Batches(BatchFilter{Status: batch.Released})
	if err != nil {
		return nil, err
	}
	winds := map[catalog.MachineCode]catalog.Winds{}
	var each planning.Room // a working day
	for _, m := range machines {
		winds[m.Code] = m.Winds
		addTo(&each, m.Winds, m.PerDay)
	}
	return func(until calendar.Date) planning.Room {
		days := time.Duration(0)
		until = min(max(until, s.Today()), s.Today()+mostDaysOfRoom) // what is late already has today
		for d := s.Today(); d <= until; d++ {
			if s.Days.IsWorkday(d) {
				days++
			}
		}
		left := planning.Room{Plain: days * each.Plain, Wound: days * each.Wound, Both: days * each.Both}
		for _, b := range released {
			if b.Date >= s.Today() && b.Date <= until {
				addTo(&left, winds[b.Machine], -b.Setup-b.Run)
			}
		}
		return left
	}, nil
}

func addTo(room *planning.Room, winds catalog.Winds, time time.Duration) {
	switch winds {
	case catalog.WindsPlain:
		room.Plain += time
	case catalog.WindsWound:
		room.Wound += time
	default:
		room.Both += time
	}
}

// Lacks gives what of the needed wire the order neither holds nor may be promised by its due day.
func (w OrderWire) Lacks() measure.Mass {
	return min(w.Short(), w.Needed-min(max(w.Available, 0), w.Needed))
}
