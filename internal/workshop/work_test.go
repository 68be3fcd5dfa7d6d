package workshop_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/intake"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/stock"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// winders is the scarce shop of the random histories with its clock.
type winders struct {
	*workshop.Shop
	t   testing.TB
	day calendar.Date
}

func newWinders(t testing.TB) *winders {
	t.Helper()
	w := &winders{Shop: testkit.Shop(t), t: t, day: testkit.Day(t)}
	if _, err := w.Import(w.as(workshop.Owner), scarceShop, false); err != nil {
		t.Fatal(err)
	}
	return w
}

func (w *winders) as(role workshop.Role) context.Context { return testkit.As(w.t.Context(), role) }

func (w *winders) add(code order.Code, plain, wound int, due calendar.Date) workshop.OrderStory {
	w.t.Helper()
	story, err := w.AddOrder(w.as(workshop.Lead), form(code, plain, wound, due), true)
	if err != nil {
		w.t.Fatal(err)
	}
	return story
}

func (w *winders) story(code order.Code) workshop.OrderStory {
	w.t.Helper()
	story, err := w.Order(w.as(workshop.Winder), code)
	if err != nil {
		w.t.Fatal(err)
	}
	return story
}

// release plans and releases a day and gives its batches by recipe; each recipe has one.
func (w *winders) release(day calendar.Date) map[catalog.RecipeCode]batch.Batch {
	w.t.Helper()
	if _, err := w.ProposeDay(w.as(workshop.Lead), day); err != nil {
		w.t.Fatal(err)
	}
	return w.releaseAsProposed(day)
}

// releaseAsProposed releases a day as it was proposed.
func (w *winders) releaseAsProposed(day calendar.Date) map[catalog.RecipeCode]batch.Batch {
	w.t.Helper()
	plan, err := w.ReleaseDay(w.as(workshop.Lead), day)
	if err != nil {
		w.t.Fatal(err)
	}
	of := map[catalog.RecipeCode]batch.Batch{}
	for _, m := range plan.Machines {
		for _, b := range m.Batches {
			if _, twice := of[b.Recipe]; twice {
				w.t.Fatalf("two batches of %s", b.Recipe)
			}
			of[b.Recipe] = b
		}
	}
	return of
}

func (w *winders) post(f workshop.ResultForm) workshop.ResultPosted {
	w.t.Helper()
	if f.Person == "" {
		f.Person = "Ines"
	}
	posted, err := w.PostResult(w.as(workshop.Winder), f)
	if err != nil {
		w.t.Fatal(err)
	}
	w.sound()
	return posted
}

func (w *winders) sound() {
	w.t.Helper()
	if broken, err := w.Verify(w.as(workshop.Winder)); err != nil || len(broken) > 0 {
		w.t.Fatalf("broken: %v, %v", broken, err)
	}
}

func short(story workshop.OrderStory) (sum measure.Mass) {
	for _, wire := range story.Wires {
		sum += wire.Short()
	}
	return sum
}

// A string of P-10 at 25 in takes 865 mm of 10 thou wire, 344 mg: an order of 30 wants 11.5 g at a yield of 0.9, and
// the two spools of MW-10 hold 15 g.
func TestAShortOrderIsPromisedWhatThereIs(t *testing.T) {
	w := newWinders(t)
	first := w.add("O-1", 30, 0, w.day+5)
	if short(first) != 0 || first.Wires[0].Available < first.Wires[0].Needed || first.Wires[0].From != w.day {
		t.Errorf("the first order: %+v", first.Wires)
	}
	second := w.add("O-2", 30, 0, w.day+3)
	if w := second.Wires[0]; w.Short() == 0 || w.Mass+first.Wires[0].Mass != 15*g || !w.From.IsZero() {
		t.Errorf("the second order: %+v; both hold 15 g together, and nothing on its way brings more", w)
	}
	if _, err := w.CancelOrder(w.as(workshop.Lead), "O-1", ""); err != nil {
		t.Fatal(err)
	}
	if now := w.story("O-2"); short(now) != 0 {
		t.Errorf("with the first cancelled the second is still short: %+v", now.Wires)
	}
	w.sound()
}

func TestAChangeAllocatesOnlyWhatItChanges(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 30, 2, w.day+5)
	rival := w.add("O-2", 30, 0, w.day+1)
	story, err := w.ChangeOrder(w.as(workshop.Lead), "O-1", form("O-1", 30, 1, w.day+5))
	if err != nil {
		t.Fatal(err)
	}
	if short(story) != 0 || w.story("O-2").Wires[0] != rival.Wires[0] {
		t.Errorf("fewer wound strings moved the plain wire: %+v, rival %+v", story.Wires, w.story("O-2").Wires)
	}
	w.sound()
}

func TestStringsInReleasedBatchesCannotBeTakenAway(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 6, 1, w.day+1)
	w.release(w.day)
	other := form("O-1", 6, 1, w.day+1)
	other.Lines[0].Strings[0].Scale = "24"
	for name, f := range map[string]intake.OrderForm{"fewer": form("O-1", 5, 1, w.day), "none": form("O-1", 0, 1, w.day), "another scale": other} {
		if _, err := w.ChangeOrder(w.as(workshop.Lead), "O-1", f); !errors.Is(err, workshop.ErrStage) {
			t.Errorf("%s: %v", name, err)
		}
	}
	more, err := w.ChangeOrder(w.as(workshop.Lead), "O-1", form("O-1", 9, 1, w.day))
	if err != nil || len(more.Open) != 1 || more.Open[0].Strings != 3 || more.Order.DueOn != w.day {
		t.Errorf("three more: %+v, %v", more.Open, err)
	}
	w.sound()
}

// The plan of 35 strings, with its overage, takes more of the 15 g than the order was promised; what an order confirmed in the
// meantime was promised is then not there.
func TestReleasingCutsTheOrdersDueLast(t *testing.T) {
	w := newWinders(t)
	first := w.add("O-1", 35, 0, w.day+1)
	if _, err := w.ProposeDay(w.as(workshop.Lead), w.day); err != nil {
		t.Fatal(err)
	}
	late := w.add("O-2", 3, 0, w.day+9)
	if short(late) != 0 {
		t.Fatalf("before the release: %+v", late.Wires)
	}
	batch := w.releaseAsProposed(w.day)["P-10"]
	w.sound()
	var taken measure.Mass
	for _, d := range batch.Draws {
		taken += d.Allocated
	}
	if taken <= first.Wires[0].Mass {
		t.Fatalf("the batch takes %s, no more than the %s that were promised", taken, first.Wires[0].Mass)
	}
	now := w.story("O-2").Wires[0]
	if now.Short() == 0 || now.Mass+taken > 15*g || len(w.story("O-1").Wires) != 0 {
		t.Errorf("the batch takes %s; O-2 holds %s and is short of %s, O-1 still holds %+v", taken, now.Mass, now.Short(), w.story("O-1").Wires)
	}
}

func TestResultOfABatch(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 3, 2, w.day+1)
	w.add("O-2", 3, 0, w.day)
	plain := w.release(w.day)["P-10"]
	form := workshop.ResultForm{Batch: plain.Code, Good: 4, Scrapped: 1, Minutes: 3 * time.Minute, Person: "Ines", Key: "a"}
	posted := w.post(form)
	r := posted.Result
	want := []batch.Serve{{Order: "O-2", Line: 1, Position: 1, Strings: 3}, {Order: "O-1", Line: 1, Position: 1, Strings: 1}}
	if !slices.Equal(r.Given, want) || posted.Batch.Status != batch.Finished || r.WoundOn != plain.Date {
		t.Errorf("got %+v of a batch that is %s; want %v", r, posted.Batch.Status, want)
	}
	if w.story("O-2").Order.Status != order.Wound || w.story("O-1").Open[0].Strings != 2 {
		t.Errorf("O-2 is %s, O-1 wants %+v", w.story("O-2").Order.Status, w.story("O-1").Open)
	}
	if again := w.post(form); !again.Unchanged || again.Result.Number != 1 {
		t.Errorf("under the same key: %+v", again)
	}
	form.Key = ""
	if again := w.post(form); !again.Unchanged {
		t.Errorf("without a key: %+v", again)
	}
	form.Scrapped = 2
	if _, err := w.PostResult(w.as(workshop.Winder), form); !errors.Is(err, workshop.ErrStage) {
		t.Errorf("with other figures: %v", err)
	}
	moves, err := w.Movements(w.as(workshop.Winder), r.Draws[0].Spool)
	last := moves.Movements[len(moves.Movements)-1]
	if err != nil || last.Kind != stock.Draw || last.Source != "batch "+string(plain.Code) || last.Mass != -r.Draws[0].Mass || last.EffectiveOn != plain.Date {
		t.Errorf("the movement is %+v, %v", last, err)
	}
	if n := w.release(w.day + 1)["P-10"].Ordered; n != 2 {
		t.Errorf("%d strings are planned again, want the 2 that are missing", n)
	}
}

// A batch in three parts draws, to the milligram, what it draws in one.
func TestPartsDrawWhatTheWholeDraws(t *testing.T) {
	drawn := func(parts ...int) (sum measure.Mass) {
		w := newWinders(t)
		w.add("O-1", 0, 5, w.day+1)
		b := w.release(w.day)["W-42.5"]
		for i, n := range parts {
			posted := w.post(workshop.ResultForm{Batch: b.Code, Good: n, WoundOn: w.day + calendar.Date(i), Continues: i < len(parts)-1})
			for _, d := range posted.Result.Draws {
				sum += d.Mass
			}
		}
		return sum
	}
	if whole, parts := drawn(5), drawn(1, 1, 3); whole != parts || whole == 0 {
		t.Errorf("the whole draws %s, the parts %s", whole, parts)
	}
}

func TestAResultIsRefusedWhereWireIsNot(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 0, 3, w.day+1)
	b := w.release(w.day)["W-42.5"]
	for _, tt := range []struct {
		name string
		form workshop.ResultForm
		want error
		says string
	}{
		{"more than the spool has", workshop.ResultForm{Good: 900}, workshop.ErrShort, "of MW-H-17 for batch"},
		{"a spool of another wire", workshop.ResultForm{Good: 1, Spools: []intake.SpoolStrings{{Spool: "S-1", Strings: 1}}}, batch.ErrSpools, "does not take"},
		{"before the wire came in", workshop.ResultForm{Good: 1, WoundOn: w.day - 300}, batch.ErrSpools, "was received on"},
		{"by nobody", workshop.ResultForm{Good: 1, Person: " "}, nil, "person: is needed"},
		{"of a spool that is not there", workshop.ResultForm{Good: 1, Spools: []intake.SpoolStrings{{Spool: "S-99", Strings: 1}}}, nil, "not found"},
	} {
		if tt.form.Batch = b.Code; tt.form.Person == "" {
			tt.form.Person = "Ines"
		}
		_, err := w.PostResult(w.as(workshop.Winder), tt.form)
		if err == nil || tt.want != nil && !errors.Is(err, tt.want) || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: %v", tt.name, err)
		}
		w.sound()
	}
	w.add("O-2", 3, 0, w.day+1)
	plan, err := w.ProposeDay(w.as(workshop.Lead), w.day+1)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range plan.Machines {
		for _, b := range m.Batches {
			if _, err := w.PostResult(w.as(workshop.Winder), workshop.ResultForm{Batch: b.Code, Good: 1, Person: "Ines"}); !errors.Is(err, workshop.ErrNotReleased) {
				t.Errorf("of a proposal: %v", err)
			}
		}
	}
}

func TestUndoGoesBackOneByOne(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 0, 4, w.day+1)
	before, _ := w.Stock(w.as(workshop.Winder), 0)
	b := w.release(w.day)["W-42.5"]
	released, _ := w.Stock(w.as(workshop.Winder), 0)
	w.post(workshop.ResultForm{Batch: b.Code, Good: 2, Continues: true})
	w.post(workshop.ResultForm{Batch: b.Code, Good: 2, Scrapped: 1})
	if s := w.story("O-1").Order.Status; s != order.Wound {
		t.Fatalf("the order is %s", s)
	}
	winder := w.as(workshop.Winder)
	if _, err := w.UndoResult(winder, b.Code, 1, "wrong"); !errors.Is(err, workshop.ErrStage) {
		t.Errorf("the first before the second: %v", err)
	}
	if _, err := w.UndoResult(winder, b.Code, 2, " "); err == nil {
		t.Error("undone without a reason")
	}
	for _, n := range []int{2, 2, 1} { // the second time changes nothing
		if _, err := w.UndoResult(winder, b.Code, n, "wrong"); err != nil {
			t.Fatal(n, err)
		}
		w.sound()
	}
	after, _ := w.Stock(winder, 0)
	if !slices.Equal(after.Spools, released.Spools) {
		t.Errorf("after undoing all:\n%+v, want as released\n%+v (before %v)", after.Spools, released.Spools, before.At)
	}
	if s := w.story("O-1").Order.Status; s != order.Planned {
		t.Errorf("the order is %s", s)
	}
	if _, err := w.UndoResult(winder, b.Code, 0, "wrong"); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("there is nothing left to undo: %v", err)
	}
}

func TestPlansCountOnTheLearnedYield(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 0, 4, w.day+1)
	b := w.release(w.day)["W-42.5"]
	owner := w.as(workshop.Owner)
	if l, err := w.Learned(owner, "w-42.5"); err != nil || l.Yield.Mean != 0.85 || l.Stated != 0.85 {
		t.Errorf("without results: %+v, %v", l, err)
	}
	w.post(workshop.ResultForm{Batch: b.Code, Good: 0, Scrapped: 4})
	l, err := w.Learned(owner, "W-42.5")
	if want := 17.0 / 24; err != nil || math.Abs(l.Yield.Mean-want) > 1e-12 || l.Own.Scrapped != 4 || l.Yield.SD <= 0 {
		t.Errorf("after four scrapped: %+v, %v; want %v", l, err, want)
	}
	again := w.release(w.day + 1)["W-42.5"]
	if again.Ordered != 4 || again.ToWind <= b.ToWind {
		t.Errorf("the next plan winds %d for %d; the first wound %d", again.ToWind, again.Ordered, b.ToWind)
	}
	story := w.story("O-1")
	if len(story.Learned) != 1 || story.Learned[0].Recipe != "W-42.5" {
		t.Errorf("the order tells of %+v", story.Learned)
	}
	if _, err := w.Learned(owner, "none"); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("of no recipe: %v", err)
	}
}

func TestRolesOfTheWork(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 3, 0, w.day+1)
	b := w.release(w.day)["P-10"]
	for _, act := range []struct {
		name    string
		allowed []workshop.Role
		do      func(context.Context) error
	}{
		{"confirm", []workshop.Role{workshop.Lead, workshop.Owner}, func(ctx context.Context) error { _, err := w.ConfirmOrder(ctx, "O-1"); return err }},
		{"change", []workshop.Role{workshop.Lead, workshop.Owner}, func(ctx context.Context) error {
			_, err := w.ChangeOrder(ctx, "O-1", form("O-1", 3, 0, w.day+1))
			return err
		}},
		{"add", []workshop.Role{workshop.Lead, workshop.Owner}, func(ctx context.Context) error {
			_, err := w.AddOrder(ctx, form("O-1", 3, 0, w.day+1), true)
			return err
		}},
		{"result", []workshop.Role{workshop.Lead, workshop.Owner, workshop.Winder}, func(ctx context.Context) error {
			_, err := w.PostResult(ctx, workshop.ResultForm{Batch: b.Code, Good: 3, Person: "Ines"})
			return err
		}},
		{"trace", workshop.Roles(), func(ctx context.Context) error { _, err := w.TraceOrder(ctx, "O-1"); return err }},
	} {
		for _, role := range workshop.Roles() {
			if err := act.do(w.as(role)); slices.Contains(act.allowed, role) != (err == nil) || err != nil && !errors.Is(err, workshop.ErrForbidden) {
				t.Errorf("%s as %s: %v", act.name, role, err)
			}
		}
		if err := act.do(t.Context()); !errors.Is(err, workshop.ErrUnknownPerson) {
			t.Errorf("%s by nobody: %v", act.name, err)
		}
	}
}

// Many people confirm orders for the same wire at once: it is promised once.
func TestManyConfirmAtOnce(t *testing.T) {
	w := newWinders(t)
	const people = 32
	code := func(i int) order.Code { return order.Code(fmt.Sprintf("C-%d", i)) }
	for i := range people {
		if _, err := w.AddOrder(w.as(workshop.Lead), form(code(i), 6, 1, w.day+calendar.Date(i)), false); err != nil {
			t.Fatal(err)
		}
	}
	var group sync.WaitGroup
	errs := make(chan error, people)
	for i := range people {
		group.Go(func() {
			_, err := w.ConfirmOrder(w.as(workshop.Lead), code(i))
			errs <- err
		})
	}
	group.Wait()
	close(errs)
	for err := range errs {
		if err != nil {
			t.Error(err)
		}
	}
	w.sound()
	var held measure.Mass
	err := w.Store.Read(t.Context(), func(r workshop.Reader) error {
		all, err := r.Allocations("MW-10")
		for _, a := range all {
			held += a.Mass
		}
		return err
	})
	if err != nil || held != 15*g {
		t.Errorf("orders hold %s of the 15 g there are, %v", held, err)
	}
}

func TestTraceBothWays(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 0, 2, w.day+1)
	b := w.release(w.day)["W-42.5"]
	w.post(workshop.ResultForm{Batch: b.Code, Good: 3, Scrapped: 1, Spools: []intake.SpoolStrings{{Spool: "S-5", Strings: 1}, {Spool: "S-6", Strings: 3}}})
	owner := w.as(workshop.Bookkeeper)
	o, err := w.TraceOrder(owner, "o-1")
	if err != nil || len(o.Strings) != 3 { // core, and wrap from two spools
		t.Fatalf("got %+v, %v", o, err)
	}
	lot, err := w.TraceLot(owner, "l5")
	if err != nil || len(lot.Spools) != 2 || len(lot.Batches) != 1 {
		t.Fatalf("got %+v, %v", lot, err)
	}
	orders := lot.Orders()
	if len(orders) != 2 || orders[0].Order != "" || orders[0].Strings != 1 || orders[1].Order != "O-1" || orders[1].Strings != 2 {
		t.Errorf("orders of the lot: %+v; want one string in stock and two of O-1, though either may be from two spools", orders)
	}
	var drawn measure.Mass
	for _, s := range lot.Spools {
		drawn += s.Drawn
	}
	if drawn != lot.Batches[0].Drawn || drawn == 0 {
		t.Errorf("the spools gave %s, the batch drew %s", drawn, lot.Batches[0].Drawn)
	}
	if _, err := w.TraceLot(owner, "none"); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("of no lot: %v", err)
	}
}

// A spool that was weighed after it was wound from teaches what the wraps of its recipe really take; the core is cut to length.
func TestPlansCountOnTheLearnedWireFactor(t *testing.T) {
	w := newWinders(t)
	owner := w.as(workshop.Owner)
	w.add("O-1", 0, 5, w.day+1)
	first := w.release(w.day)["W-42.5"]
	r := w.post(workshop.ResultForm{Batch: first.Code, Good: 3, Scrapped: 3}).Result
	if l, err := w.Learned(owner, "W-42.5"); err != nil || l.Factor.Value != 1 || l.Factor.Weighings != 0 {
		t.Errorf("before anything was weighed: %+v, %v", l.Factor, err)
	}
	var wrap batch.Taken
	for _, d := range r.Draws {
		if d.Wire == "PB-11.5" {
			wrap = d
		}
	}
	b := w.spool(wrap.Spool)
	missing := wrap.Mass / 20 // 5 % more than computed, well outside the noise of scale and computation
	if _, err := w.Weigh(owner, workshop.Weigh{Spool: wrap.Spool, Gross: b.Mass + b.Tare - missing, Confirmed: true}); err != nil {
		t.Fatal(err)
	}
	l, err := w.Learned(owner, "W-42.5")
	if err != nil || l.Factor.Value < 1.045 || l.Factor.Value > 1.05 || l.Factor.Weighings != 1 || l.Factor.StdError <= 0 {
		t.Fatalf("with %s of %s missing: %+v, %v", missing, wrap.Mass, l.Factor, err)
	}
	second := w.release(w.day + 1)["W-42.5"]
	each := map[string]measure.MassEach{}
	for _, d := range first.Draws {
		each[string(d.Wire)] = d.Each
	}
	for _, d := range second.Draws {
		want := each[string(d.Wire)]
		if d.Wire == wrap.Wire {
			want = measure.MassEach(math.Round(float64(want) * l.Factor.Value))
		}
		if d.Each != want || d.Mass != want.Times(int64(d.Strings)) {
			t.Errorf("%s is planned at %d ng a string, want %d", d.Wire, d.Each, want)
		}
	}
	for _, d := range w.post(workshop.ResultForm{Batch: second.Code, Good: 2}).Result.Draws {
		if d.Wire == wrap.Wire && d.Each == each[string(d.Wire)] {
			t.Error("the result draws as computed, not as planned")
		}
	}
}

func (w *winders) spool(code stock.SpoolCode) stock.Balance {
	w.t.Helper()
	h, err := w.Movements(w.as(workshop.Winder), code)
	if err != nil {
		w.t.Fatal(err)
	}
	return h.Spool
}
