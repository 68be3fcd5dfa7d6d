package workshop_test

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"testing"
	"testing/fstest"
	"time"

	"pgregory.net/rapid"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/requirements"
	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// A shop with so little wire that its orders want for it.
var scarceShop = fstest.MapFS{
	"wires.csv": {Data: []byte(`wire,alloy,section,size_thou,thickness_thou,usable_end_g,supplier,pack_kg,price_per_kg
MW-10,music-wire,round,10,,1,,2,30.00
MW-H-17,music-wire,hex,17,,1,,2,36.00
PB-11.5,phosphor-bronze-8,round,11.5,,2,,2,42.00
`)},
	"spools.csv": {Data: []byte(`spool,wire,lot,received_on,gross_g,tare_g,cost,location
S-1,MW-10,L1,2026-01-10,206,200,1.01,rack 1
S-2,MW-10,L2,2026-01-10,209,200,1.97,rack 1
S-3,MW-H-17,L3,2026-01-12,215,200,2.33,rack 2
S-4,MW-H-17,L4,2026-01-12,240,200,2.99,rack 2
S-5,PB-11.5,L5,2026-01-12,240,200,5.03,rack 2
S-6,PB-11.5,L5,2026-01-12,275,200,6.07,rack 2
`)},
	"recipes.csv": {Data: []byte(`recipe,gauge_thou,core,wrap_1,wrap_2,wrap_3,lay_1_thou,lay_2_thou,lay_3_thou,ball_end,yield,minutes_each
P-10,10,MW-10,,,,,,,yes,0.9,0.5
W-42.5,42.6,MW-H-17,PB-11.5,,,,,,yes,0.85,1.5
`)},
	"machines.csv": {Data: []byte(`machine,winds,longest_mm,minutes_per_day
a,plain,1000,300
b,both,1000,90
`)},
}

// spot is one string of an order in the model.
type spot struct {
	order    order.Code
	position int
}

// history is a shop with the model beside it: how many strings each spool gave to each batch, and where the good ones went.
type history struct {
	shop *workshop.Shop
	ctx  context.Context
	each map[material.WireCode]map[string]measure.MassEach // by wire and recipe

	status  map[order.Code]order.Status
	ordered map[spot]int
	good    map[spot]int // as results gave them
	given   map[spot]int // out of finished stock: see usedFinished
	lent    map[spot]int // strings of a cancelled order that others were given; of no order under ""
	took    map[stock.SpoolCode]map[batch.Code]int
	stands  map[batch.Code][]batch.Result
	surplus int
	full    map[stock.SpoolCode]measure.Mass
	day     calendar.Date
}

func TestRandomHistoriesKeepEveryPromise(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		db, err := store.Open(t.Context(), "sqlite:"+filepath.Join(t.TempDir(), "shop.db"))
		if err != nil {
			rt.Fatal(err)
		}
		defer db.Close()
		if _, _, err := db.Migrate(t.Context()); err != nil {
			rt.Fatal(err)
		}
		now := testkit.Morning(t)
		h := &history{
			shop: &workshop.Shop{Store: db, Name: "test", Now: func() time.Time { return now }, Zone: time.UTC}, ctx: testkit.As(t.Context(), workshop.Lead),
			status: map[order.Code]order.Status{}, ordered: map[spot]int{}, good: map[spot]int{}, given: map[spot]int{}, lent: map[spot]int{}, took: map[stock.SpoolCode]map[batch.Code]int{},
			stands: map[batch.Code][]batch.Result{}, full: map[stock.SpoolCode]measure.Mass{}, day: testkit.Day(t),
		}
		h.open(rt)
		rt.Repeat(map[string]func(*rapid.T){
			"take an order in": h.add, "confirm": h.confirm, "cancel": h.cancel, "change": h.change, "plan a day": h.plan,
			"wind": h.wind, "wind on": h.wind, "undo": h.undo, "hand over": h.handOver, "": h.check,
		})
	})
}

func (h *history) open(t *rapid.T) {
	if _, err := h.shop.Import(h.ctx, scarceShop, false); err != nil {
		t.Fatal(err)
	}
	list, err := h.shop.Stock(h.ctx, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range list.Spools {
		h.full[s.Code] = s.Mass
	}
	h.each = map[material.WireCode]map[string]measure.MassEach{}
	h.read(t, func(r workshop.Reader) error {
		wires, _ := r.Wires()
		recipes, _ := r.Recipes()
		practice, _ := r.Practice()
		bench, err := requirements.NewBench(material.NewAlloys(material.BuiltIn()...), wires, recipes, practice)
		if err != nil {
			return err
		}
		for _, c := range recipes {
			uses, err := bench.Uses(c.Code, 25*measure.Inch)
			if err != nil {
				return err
			}
			for _, u := range uses {
				if h.each[u.Wire] == nil {
					h.each[u.Wire] = map[string]measure.MassEach{}
				}
				h.each[u.Wire][string(c.Code)] = u.Each
			}
		}
		return nil
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
	if _, err := h.shop.AddOrder(h.ctx, form(code, plain, wound, due), confirm); err != nil {
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
	story, err := h.shop.ChangeOrder(h.ctx, code, form(code, plain, wound, h.day+calendar.Date(rapid.IntRange(-2, 9).Draw(t, "due"))))
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
