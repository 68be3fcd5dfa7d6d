package workshop

import (
	"context"
	"fmt"

	"windingroom/internal/calendar"
	"windingroom/internal/order"
)

// Slip is an open order that the days ahead, as they would be planned now, do not wind by the day it is held to.
type Slip struct {
	Order    order.Code
	Customer string
	HeldTo   calendar.Date // its due day, or a later one that was promised
	On       calendar.Date // when its last strings would be wound; zero: not within the days that were looked at
	Why      string        // in the words of the plan, where it leaves strings of the order out
}

func (s Slip) String() string {
	text := fmt.Sprintf("order %s, held to %s, is wound on %s", s.Order, s.HeldTo, s.On)
	if s.On.IsZero() {
		text = fmt.Sprintf("order %s, held to %s, is not wound within the days ahead", s.Order, s.HeldTo)
	}
	if s.Why != "" {
		text += ": " + s.Why
	}
	return text
}

// slipDays is how many working days are looked at for orders that slip.
const slipDays = 10

// Slips says which open orders can no longer keep the day they are held to, by that day: of those held to one of the days ahead, or to one that is
// over. It plans the days once, as LookAhead does. Everyone in the shop may see them.
func (s *Shop) Slips(ctx context.Context) (list []Slip, err error) {
	if _, err := allow(ctx, "seeing orders", Roles()...); err != nil {
		return nil, err
	}
	var a ahead
	var orders []order.Order
	err = s.Store.Read(ctx, func(r Reader) (err error) {
		if orders, err = r.Orders(OrderFilter{OpenOnly: true}); err == nil {
			a, err = s.readAhead(r, s.Today(), slipDays)
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return a.slips(orders)
}

// slips plans the days; orders come and go by the day they are due.
func (a ahead) slips(orders []order.Order) ([]Slip, error) {
	results, err := a.room().Simulate()
	if err != nil || len(results) == 0 {
		return nil, err
	}
	on, why := map[order.Code]calendar.Date{}, map[order.Code]string{}
	for _, r := range results {
		left := map[order.Code]bool{}
		for _, d := range r.Left {
			left[d.Order] = true
		}
		for _, d := range r.In.Demands {
			if !left[d.Order] {
				on[d.Order] = max(on[d.Order], r.In.Date)
			}
		}
		for _, n := range r.Plan.NotPlanned {
			why[n.Order] = n.Detail
		}
	}
	never := map[order.Code]bool{}
	for _, d := range results[len(results)-1].Left {
		never[d.Order] = true
	}
	var list []Slip
	for _, o := range orders {
		day := max(on[o.Code], a.last[o.Code])
		if never[o.Code] {
			day = 0
		}
		held := o.HeldTo()
		if held <= results[len(results)-1].In.Date && (never[o.Code] || day > held) {
			list = append(list, Slip{Order: o.Code, Customer: o.Customer, HeldTo: held, On: day, Why: why[o.Code]})
		}
	}
	return list, nil
}
