package store_test

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/intake"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// spot is one string of an order in the model.
type spot struct {
	order    order.Code
	position int
}

// history is a shop with the model beside it: what happened to each spool, and where the good strings went.
type history struct {
	db    *store.DB
	shop  *workshop.Shop
	ctx   context.Context
	now   *time.Time
	day   calendar.Date
	steps int

	status  map[order.Code]order.Status
	ordered map[spot]int
	good    map[spot]int // as results gave them
	given   map[spot]int // out of finished stock: see usedFinished
	lent    map[spot]int // strings of a cancelled order that others were given; of no order under ""
	stands  map[batch.Code][]batch.Result
	surplus int

	spools map[stock.SpoolCode]stock.Balance // full
	events map[stock.SpoolCode][]event       // in the order in which they took effect
}

// event is what happened to a spool: a draw of a batch, or a weighing after which it held a mass.
type event struct {
	at     time.Time
	batch  batch.Code
	result int
	mass   measure.Mass
}

// happened puts an event after those that took effect before it or at its instant.
func (h *history) happened(code stock.SpoolCode, e event) {
	list := h.events[code]
	i, _ := slices.BinarySearchFunc(list, e.at, func(e event, at time.Time) int {
		if e.at.After(at) {
			return 1
		}
		return -1
	})
	h.events[code] = slices.Insert(slices.Clone(list), i, e)
}

// holds gives what a spool held at an instant: what was weighed last, less what was drawn since.
func (h *history) holds(code stock.SpoolCode, at time.Time) measure.Mass {
	mass := h.spools[code].Mass
	for _, e := range h.events[code] {
		switch {
		case e.at.After(at):
			return mass
		case e.batch == "":
			mass = e.mass
		default:
			mass -= e.mass
		}
	}
	return mass
}

// TestHistoriesOfOrders lives through random histories of orders, plans, results and weighings, each taken back at its end. After each
// step the books are compared with a model, now and then and at the end with themselves.
func TestHistoriesOfOrders(t *testing.T) { inHalves(t, liveOrders) }

func liveOrders(t *testing.T, second bool) {
	db := migrated(t, sqliteAddress(t))
	raw(t, db, "PRAGMA temp_store = memory", "PRAGMA synchronous = off")
	now := testkit.Morning(t)
	begin := history{
		db: db, shop: &workshop.Shop{Store: within{db}, Name: "test", Now: func() time.Time { return now }, Zone: time.UTC}, now: &now,
		ctx: testkit.As(t.Context(), workshop.Lead), day: testkit.Day(t), spools: map[stock.SpoolCode]stock.Balance{},
	}
	if _, err := begin.shop.Import(begin.ctx, testkit.ScarceShop, false); err != nil {
		t.Fatal(err)
	}
	spools, err := db.ReaderIn(db.Raw()).Spools()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range spools {
		begin.spools[s.Code] = s
	}
	rapid.Check(t, func(rt *rapid.T) {
		raw(t, db, "SAVEPOINT history")
		defer raw(t, db, "ROLLBACK TO history", "RELEASE history")
		turn(rt, second)
		now = testkit.Morning(t)
		h := begin
		h.status, h.ordered, h.good = map[order.Code]order.Status{}, map[spot]int{}, map[spot]int{}
		h.given, h.lent = map[spot]int{}, map[spot]int{}
		h.stands, h.events = map[batch.Code][]batch.Result{}, map[stock.SpoolCode][]event{}
		if rapid.Bool().Draw(rt, "at work") { // else a history is long before anything can be wound
			h.add(rt)
			h.add(rt)
			h.plan(rt)
		}
		rt.Repeat(map[string]func(*rapid.T){
			"take an order in": h.add, "confirm": h.confirm, "cancel": h.cancel, "change": h.change, "plan a day": h.plan,
			"wind": h.wind, "wind on": h.wind, "undo": h.undo, "hand over": h.handOver, "weigh": h.weigh, "": h.check,
		})
		h.sound(rt)
	})
}

func (h *history) add(t *rapid.T) {
	code := order.Code(fmt.Sprintf("O-%d", len(h.status)))
	plain, wound := rapid.IntRange(0, 12).Draw(t, "plain"), rapid.IntRange(0, 12).Draw(t, "wound")
	if plain+wound == 0 {
		plain = 1
	}
	confirm := rapid.Bool().Draw(t, "confirm")
	due := h.day + calendar.Date(rapid.IntRange(-2, 9).Draw(t, "due"))
	if _, err := h.shop.AddOrder(h.ctx, testkit.ScarceOrder(code, plain, wound, due), confirm); err != nil {
		t.Fatal(err)
	}
	h.status[code] = order.Draft
	if confirm {
		h.status[code] = order.Confirmed
	}
	h.ordered[spot{code, 1}], h.ordered[spot{code, 2}] = plain, wound
	if confirm {
		h.usedFinished(t, code)
	}
}

func (h *history) confirm(t *rapid.T) {
	code := h.pick(t, order.Draft)
	if _, err := h.shop.ConfirmOrder(h.ctx, code); err != nil {
		t.Fatal(err)
	}
	h.status[code] = order.Confirmed
	h.usedFinished(t, code)
}

func (h *history) cancel(t *rapid.T) {
	code := h.pick(t, order.Draft, order.Confirmed, order.Planned, order.Wound, order.Packed)
	if _, err := h.shop.CancelOrder(h.ctx, code, "the customer says so"); err != nil {
		t.Fatal(err)
	}
	h.status[code] = order.Cancelled
	h.countGiven(t)
}

func (h *history) change(t *rapid.T) {
	code := h.pick(t, order.Draft, order.Confirmed, order.Planned)
	plain, wound := rapid.IntRange(0, 12).Draw(t, "plain"), rapid.IntRange(0, 12).Draw(t, "wound")
	if plain+wound == 0 {
		wound = 1
	}
	story, err := h.shop.ChangeOrder(h.ctx, code, testkit.ScarceOrder(code, plain, wound, h.day+calendar.Date(rapid.IntRange(-2, 9).Draw(t, "due"))))
	if err != nil && !errors.Is(err, workshop.ErrStage) {
		t.Fatal(err)
	}
	if err != nil {
		return
	}
	h.ordered[spot{code, 1}], h.ordered[spot{code, 2}] = plain, wound
	if h.status[code] != order.Draft && h.whole(code) {
		h.status[code] = order.Wound
	}
	if story.Order.Status != h.status[code] {
		t.Fatalf("order %s changed: %s, the model says %s", code, story.Order.Status, h.status[code])
	}
}

func (h *history) plan(t *rapid.T) {
	h.day++
	*h.now = testkit.MorningOf(h.day)
	plan, err := h.shop.ProposeDay(h.ctx, h.day)
	if err != nil {
		t.Fatal(err)
	}
	h.usedFinished(t, "")
	if rapid.IntRange(0, 4).Draw(t, "release") == 0 {
		return
	}
	if plan, err = h.shop.ReleaseDay(h.ctx, h.day); err != nil {
		t.Fatal(err)
	}
	for _, m := range plan.Machines {
		for _, b := range m.Batches {
			for _, sv := range b.Serves {
				if h.status[sv.Order] == order.Confirmed {
					h.status[sv.Order] = order.Planned
				}
			}
		}
	}
}

func (h *history) wind(t *rapid.T) {
	var open []batch.Batch
	var spools []stock.Balance
	h.read(t, func(r workshop.Reader) (err error) {
		if spools, err = r.Spools(); err != nil {
			return err
		}
		open, err = r.Batches(workshop.BatchFilter{Status: batch.Released})
		return err
	})
	if len(open) == 0 {
		t.Skip("nothing to wind")
	}
	b := rapid.SampledFrom(open).Draw(t, "batch")
	*h.now = h.now.Add(time.Minute)
	n := b.ToWind
	for _, r := range h.stands[b.Code] {
		n -= r.Strings()
	}
	f := workshop.ResultForm{Batch: b.Code, Person: "Ines", Minutes: time.Minute, Continues: rapid.Bool().Draw(t, "continues")}
	f.Good = rapid.IntRange(0, max(n, 0)+1).Draw(t, "good")
	f.Scrapped = rapid.IntRange(0, 2).Draw(t, "scrapped")
	if total := f.Good + f.Scrapped; total > 1 && rapid.Bool().Draw(t, "swapped") {
		wire := rapid.SampledFrom(b.Wires()).Draw(t, "wire")
		var of []stock.SpoolCode
		for _, s := range spools {
			if s.Wire == wire {
				of = append(of, s.Code)
			}
		}
		first := rapid.IntRange(1, total-1).Draw(t, "first")
		f.Spools = []intake.SpoolStrings{{Spool: string(of[0]), Strings: first}, {Spool: string(of[1]), Strings: total - first}}
	}
	posted, err := h.shop.PostResult(h.ctx, f)
	if errors.Is(err, workshop.ErrShort) {
		return // beyond plan, or a swapped spool that has not as much
	}
	if err != nil {
		t.Fatal(err)
	}
	r := posted.Result
	at := *h.now
	if h.day != b.Date {
		at = b.Date.In(time.UTC).Add(12 * time.Hour)
	}
	for _, d := range r.Draws {
		h.happened(d.Spool, event{at, b.Code, r.Number, d.Mass})
		if sum, strings := h.drew(b.Code, d.Spool); sum != d.Each.Times(int64(strings+d.Strings)) {
			t.Fatalf("%d strings of %s took %s of spool %s", strings+d.Strings, b.Code, sum, d.Spool)
		}
	}
	h.stands[b.Code] = append(h.stands[b.Code], r)
	h.count(r, 1)
	for _, g := range r.Given {
		if g.Order != "" && h.status[g.Order] != order.Confirmed && h.status[g.Order] != order.Planned {
			t.Fatalf("batch %s gave a string to order %s, which is %s", b.Code, g.Order, h.status[g.Order])
		}
	}
	for _, g := range b.Serves {
		if s := h.status[g.Order]; (s == order.Confirmed || s == order.Planned) && h.whole(g.Order) {
			h.status[g.Order] = order.Wound
		}
	}
	if !f.Continues { // the same again changes nothing
		if again, err := h.shop.PostResult(h.ctx, f); err != nil || !again.Unchanged {
			t.Fatalf("the same result again: %+v, %v", again, err)
		}
	}
}

// drew gives what the standing results of a batch took off a spool, and the strings of those that the model has noted.
func (h *history) drew(code batch.Code, spool stock.SpoolCode) (sum measure.Mass, strings int) {
	for _, e := range h.events[spool] {
		if e.batch == code {
			sum += e.mass
		}
	}
	for _, r := range h.stands[code] {
		for _, d := range r.Draws {
			if d.Spool == spool {
				strings += d.Strings
			}
		}
	}
	return sum, strings
}

// weigh weighs a spool, now or as of an earlier time, and finds about what it holds or anything at all.
func (h *history) weigh(t *rapid.T) {
	*h.now = h.now.Add(time.Minute)
	code := rapid.SampledFrom(slices.Sorted(maps.Keys(h.spools))).Draw(t, "spool")
	at := h.now.Add(-time.Duration(rapid.SampledFrom([]int{0, 0, 0, 1, 5, 11, 18, 30, 50}).Draw(t, "hours ago")) * time.Hour)
	full, book, today := h.spools[code], h.holds(code, at), h.holds(code, *h.now)
	net := max(0, min(full.Mass, book+measure.Mass(rapid.SampledFrom([]int{0, 20, -20, 200, -2000, 4000, -20000}).Draw(t, "off"))))
	in := workshop.Weigh{Spool: code, Gross: full.Tare + net, Confirmed: true}
	if at != *h.now {
		in.At = at
	}
	w, err := h.shop.Weigh(h.ctx, in)
	again, least := false, net
	for _, e := range h.events[code] {
		if again = e.at.After(at) && e.batch == ""; again {
			break
		}
		if e.at.After(at) {
			least -= e.mass
		}
	}
	if again && least < 0 {
		if !errors.Is(err, stock.ErrNegative) {
			t.Fatalf("weighed %s, of which more was drawn before it was weighed again: %v", net, err)
		}
		return
	}
	if after := today + net - book; !again && (after < 0 || after > full.Mass) {
		if !errors.Is(err, stock.ErrNegative) && !errors.Is(err, stock.ErrTooMuch) {
			t.Fatalf("weighed so that it holds %s of %s today: %v", after, full.Mass, err)
		}
		return
	}
	if err != nil || w.Weighing.Book != book || w.Weighing.Net != net {
		t.Fatalf("weighed %s where the model has %s: %+v, %v", net, book, w.Weighing, err)
	}
	h.happened(code, event{at: at, mass: net})
}
