package workshop

import (
	"context"
	"fmt"
	"math"
	"slices"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/order"
	"windingroom/internal/promise"
	"windingroom/internal/purchase"
	"windingroom/internal/replenishment"
	"windingroom/internal/requirements"
)

// PromiseDay is the day that may be promised for an order.
type PromiseDay struct {
	promise.Answer
	Order order.Order // with the day that it is held to, where one was promised
}

// PromiseOf finds the earliest day for a draft, or the day on which one that is confirmed will be wound at the place it has, and what would make it earlier; ErrNotFound when there is
// none. Nothing is kept. Everyone in the shop may see it.
func (s *Shop) PromiseOf(ctx context.Context, code order.Code) (PromiseDay, error) {
	return s.promiseDay(ctx, true, func(r Reader) (order.Order, error) { return r.Order(code) })
}

// FirstDayOf is PromiseOf without what would make the day earlier, which takes many times as long to find.
func (s *Shop) FirstDayOf(ctx context.Context, code order.Code) (PromiseDay, error) {
	return s.promiseDay(ctx, false, func(r Reader) (order.Order, error) { return r.Order(code) })
}

// FirstDayFor is PromiseFor without what would make the day earlier.
func (s *Shop) FirstDayFor(ctx context.Context, form intake.OrderForm) (PromiseDay, error) {
	return s.promiseDay(ctx, false, asDraft(form))
}

// PromiseFor finds the same for an order that the shop does not have, without keeping it. The error is intake.Problems where
// fields are wrong. Everyone in the shop may ask.
func (s *Shop) PromiseFor(ctx context.Context, form intake.OrderForm) (PromiseDay, error) {
	return s.promiseDay(ctx, true, asDraft(form))
}

func asDraft(form intake.OrderForm) func(Reader) (order.Order, error) {
	return func(r Reader) (order.Order, error) {
		o, err := readOrder(r, form)
		o.Status = order.Draft
		return o, err
	}
}

func (s *Shop) promiseDay(ctx context.Context, ways bool, find func(Reader) (order.Order, error)) (PromiseDay, error) {
	if _, err := allow(ctx, "seeing orders", Roles()...); err != nil {
		return PromiseDay{}, err
	}
	var day PromiseDay
	var q question
	err := s.Store.Read(ctx, func(r Reader) (err error) {
		if day.Order, err = find(r); err == nil {
			q, err = s.ask(r, day.Order)
		}
		return err
	})
	if err != nil {
		return day, err
	}
	if day.Answer, err = q.room.Promise(q.asked); err == nil && ways {
		day.Earlier, err = q.room.Earlier(q.asked, day.Answer, s.Today(), q.lead)
	}
	return day, err
}

type withoutDayKey struct{}

// WithoutDay asks that what is told of an order leaves its earliest day aside, which takes long to find. An order that is confirmed is held
// to its day all the same.
func WithoutDay(ctx context.Context) context.Context {
	return context.WithValue(ctx, withoutDayKey{}, true)
}

func withoutDay(ctx context.Context) bool { return ctx.Value(withoutDayKey{}) != nil }

// promisable says whether an order still wants a day.
func promisable(o order.Order) bool { return o.Status == order.Draft || o.Open() }

// HoldPromise finds the earliest day for an order that is confirmed or planned anew, and holds it to that. Without such a day it
// is held to its due day as before it was promised. Only a lead or an owner may.
func (s *Shop) HoldPromise(ctx context.Context, code order.Code) (OrderStory, error) {
	p, err := allow(ctx, "promising an order", Lead)
	if err != nil {
		return OrderStory{}, err
	}
	answer, err := s.hold(ctx, p, code)
	if err != nil {
		return OrderStory{}, err
	}
	story, err := s.told(ctx, code)
	story.Promised = &answer
	return story, err
}

// mostHolds is how often a day is looked for anew because orders came in meanwhile.
const mostHolds = 4

// hold finds the day of an open order and keeps it. The search runs outside of transactions, so that nobody waits for it: where an
// order was taken on or promised meanwhile, it begins anew. An order for which no day stood still long enough keeps the one it has.
func (s *Shop) hold(ctx context.Context, p Person, code order.Code) (promise.Answer, error) {
	for range mostHolds {
		var q question
		var o order.Order
		err := s.Store.Read(ctx, func(r Reader) (err error) {
			if o, err = r.Order(code); err == nil && o.Open() {
				q, err = s.ask(r, o)
			}
			return err
		})
		if err != nil {
			return promise.Answer{}, err
		}
		if !o.Open() {
			return promise.Answer{}, stage(o, "takes no promise")
		}
		q.asked.HeldTo = 0 // it asks as one that is not taken on yet
		answer, err := q.room.Promise(q.asked)
		if err != nil {
			return answer, err
		}
		still := false
		err = s.Store.InTx(ctx, func(tx Tx) error {
			now, err := takenOn(tx)
			if still = err == nil && slices.Equal(now, q.others); !still {
				return err
			}
			if err := tx.SetPromised(o.Code, answer.Holds); err != nil {
				return err
			}
			if answer.Holds == o.PromisedOn {
				return nil
			}
			return tx.Record(s.audit(p, "promise order", string(o.Code), promiseDetail(answer)))
		})
		if err != nil || still {
			return answer, err
		}
	}
	return promise.Answer{}, fmt.Errorf("order %s: other orders came in while its day was looked for: %w", code, ErrChanged)
}

func promiseDetail(a promise.Answer) string {
	if a.On.IsZero() {
		return "no day can be promised: " + string(a.Decides.What)
	}
	return fmt.Sprintf("held to %s, earliest %s, decided by %s", a.Holds, a.On, a.Decides.What)
}

// claim is what an open order asks of the room.
type claim struct {
	order   order.Code
	held    calendar.Date
	strings int
}

// takenOn lists what the shop has taken on.
func takenOn(r Reader) ([]claim, error) {
	orders, err := r.Orders(OrderFilter{OpenOnly: true})
	claims := make([]claim, len(orders))
	for i, o := range orders {
		claims[i] = claim{o.Code, o.HeldTo(), o.StringCount()}
	}
	return claims, err
}

// question is everything a promise is found from.
type question struct {
	room   promise.Room
	asked  promise.Asked
	lead   map[material.WireCode]int
	others []claim
}

// mostDays is how many working days are planned at most to find a promise, and daysFor how many are at least. Where very much is open, a
// day takes long to plan, and more is reckoned instead.
const mostDays = 30

func daysFor(demands int) (least, most int) {
	switch {
	case demands <= 300:
		return 10, mostDays
	case demands <= 1000:
		return 5, 10
	}
	return 1, 2
}

// ask gathers one consistent picture of the shop for a promise. What is kept of today stands: a new order begins after it.
func (s *Shop) ask(r Reader, o order.Order) (q question, err error) {
	if !promisable(o) {
		return q, stage(o, "takes no promise")
	}
	if q.others, err = takenOn(r); err != nil {
		return q, err
	}
	a, err := s.readAhead(r, s.Today(), mostDays)
	if err != nil {
		return q, err
	}
	least, most := daysFor(len(a.input.Demands))
	a.days = a.days[:most]
	q.room = a.room()
	q.room.Look, q.room.Shop = least, s.Days
	q.asked = promise.Asked{Order: o.Code, DueOn: o.DueOn}
	if o.Open() {
		q.asked.HeldTo = o.HeldTo()
	} else {
		if q.asked.Demands, err = s.wantedBy(r, o, a.given); err != nil {
			return q, err
		}
		if q.room.Days[0].Kept != nil {
			q.asked.From = 1
		}
	}
	for _, d := range a.input.Demands {
		if d.Order == o.Code {
			q.asked.Demands = append(q.asked.Demands, d)
		}
	}
	q.room.Input.Demands = slices.DeleteFunc(slices.Clone(a.input.Demands), func(d requirements.Demand) bool { return d.Order == o.Code })
	return q, s.supplies(r, &q)
}

// wantedBy gives what a draft would want to be wound once open orders have had their share of finished stock.
func (s *Shop) wantedBy(r Reader, o order.Order, given []batch.Given) ([]requirements.Demand, error) {
	surplus, err := r.Surplus()
	if err != nil {
		return nil, err
	}
	for i := range surplus {
		for _, g := range given {
			if f := &surplus[i]; g.Batch == f.Batch && g.Result == f.Result && g.Part == f.Part {
				f.Strings -= g.Strings
			}
		}
	}
	o.Status = order.Confirmed
	_, rest := requirements.FromFinished(requirements.Open([]order.Order{o}, nil), surplus)
	return rest, nil
}

// supplies puts the receipts into the question on the days that are counted on, and how long it takes to buy.
func (s *Shop) supplies(r Reader, q *question) error {
	scheduled, err := r.ScheduledReceipts()
	if err != nil {
		return err
	}
	wires, err := r.Wires()
	if err != nil {
		return err
	}
	suppliers, err := r.Suppliers()
	if err != nil {
		return err
	}
	delivered, err := deliveries(r)
	if err != nil {
		return err
	}
	practice, err := r.Practice()
	if err != nil {
		return err
	}
	open, err := r.Purchases(PurchaseFilter{OpenOnly: true})
	if err != nil {
		return err
	}
	leads := replenishment.LeadTimes(suppliers, delivered)
	bought := map[purchase.Code]purchase.Purchase{}
	for _, p := range open {
		bought[p.Code] = p
	}
	of := map[material.WireCode]material.Wire{}
	q.lead = map[material.WireCode]int{}
	for _, w := range wires {
		of[w.Code] = w
		if l, known := leads[w.Supplier]; known {
			q.lead[w.Code] = int(math.Ceil(l.Days)) + practice.Buying.ReceivingDays
		}
	}
	q.room.Receipts = nil
	for _, sr := range scheduled {
		p := bought[sr.Purchase]
		rc := promise.Counted(promise.Receipt{Purchase: string(sr.Purchase), Wire: sr.Wire, Stated: sr.On, Mass: sr.Mass, UsableEnd: of[sr.Wire].UsableEnd},
			p.OrderedOn, leads[p.Supplier], practice.Buying)
		if sr.On < s.Today() {
			q.room.Overdue = append(q.room.Overdue, rc)
			continue
		}
		q.room.Receipts = append(q.room.Receipts, rc)
	}
	return nil
}
