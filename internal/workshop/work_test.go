package workshop_test

import (
	"context"
	"errors"
	"slices"
	"strings"
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
	if _, err := w.Import(w.as(workshop.Owner), testkit.ScarceShop, false); err != nil {
		t.Fatal(err)
	}
	return w
}

func (w *winders) as(role workshop.Role) context.Context { return testkit.As(w.t.Context(), role) }

func (w *winders) add(code order.Code, plain, wound int, due calendar.Date) workshop.OrderStory {
	w.t.Helper()
	story, err := w.AddOrder(w.as(workshop.Lead), testkit.ScarceOrder(code, plain, wound, due), true)
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
			_, err := w.ChangeOrder(ctx, "O-1", testkit.ScarceOrder("O-1", 3, 0, w.day+1))
			return err
		}},
		{"add", []workshop.Role{workshop.Lead, workshop.Owner}, func(ctx context.Context) error {
			_, err := w.AddOrder(ctx, testkit.ScarceOrder("O-1", 3, 0, w.day+1), true)
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

func (w *winders) spool(code stock.SpoolCode) stock.Balance {
	w.t.Helper()
	h, err := w.Movements(w.as(workshop.Winder), code)
	if err != nil {
		w.t.Fatal(err)
	}
	return h.Spool
}

// A result is undone after its missing strings were planned again: two batches then wind for them, and the order takes each once.
func TestNoOrderGetsMoreThanItAskedFor(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 0, 4, w.day+1)
	first := w.release(w.day)["W-42.5"]
	w.post(workshop.ResultForm{Batch: first.Code, Good: 1, Scrapped: 2})
	second := w.release(w.day + 1)["W-42.5"]
	if _, err := w.UndoResult(w.as(workshop.Winder), first.Code, 0, "the other batch"); err != nil {
		t.Fatal(err)
	}
	if _, err := w.ChangeOrder(w.as(workshop.Lead), "O-1", testkit.ScarceOrder("O-1", 0, 4, w.day+2)); err != nil {
		t.Errorf("another day, while two batches wind for the same strings: %v", err)
	}
	w.post(workshop.ResultForm{Batch: first.Code, Good: 3})
	r := w.post(workshop.ResultForm{Batch: second.Code, Good: 3}).Result
	if want := []batch.Serve{{Order: "O-1", Line: 2, Position: 1, Strings: 1}, {Strings: 2}}; !slices.Equal(r.Given, want) {
		t.Errorf("the second batch gave %v, want %v", r.Given, want)
	}
	if s := w.story("O-1").Order.Status; s != order.Wound {
		t.Errorf("the order is %s", s)
	}
}

// A batch may be planned for a day to come and written up for it; it may go on for some days after, but not for months.
func TestAResultOfADayToCome(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 3, 0, w.day+9)
	b := w.release(w.day + 2)["P-10"]
	form := workshop.ResultForm{Batch: b.Code, Good: 1, Person: "Ines", Continues: true}
	for days, refused := range map[calendar.Date]bool{-1: false, 0: false, 2: false, 33: false, 34: true, 36500: true} {
		form.WoundOn = w.day + days
		_, err := w.PostResult(w.as(workshop.Winder), form)
		var problems intake.Problems
		if refused != errors.As(err, &problems) || refused && problems[0].Column != "wound_on" || !refused && err != nil {
			t.Errorf("%d days from today: %v", days, err)
		}
	}
	w.sound()
}

func TestOneKeyPostsOneResult(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 3, 3, w.day+1)
	of := w.release(w.day)
	w.post(workshop.ResultForm{Batch: of["P-10"].Code, Good: 1, Continues: true, Key: "a"})
	_, err := w.PostResult(w.as(workshop.Winder), workshop.ResultForm{Batch: of["W-42.5"].Code, Good: 1, Person: "Ines", Key: "a"})
	if !errors.Is(err, workshop.ErrExists) || !strings.Contains(err.Error(), "this key has posted a result of batch "+string(of["P-10"].Code)) {
		t.Errorf("the key of another batch: %v", err)
	}
	w.sound()
}
