package workshop_test

import (
	"context"
	"errors"
	"reflect"
	"slices"
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/order"
	"windingroom/internal/planning"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// lead is the invented scenario with its lead.
type lead struct {
	*workshop.Shop
	t   testing.TB
	ctx context.Context
	day calendar.Date
	now time.Time
}

func newLead(t testing.TB) *lead {
	t.Helper()
	l := &lead{Shop: testkit.ScenarioShop(t), t: t, ctx: testkit.As(t.Context(), workshop.Lead), day: testkit.Day(t), now: testkit.Morning(t)}
	l.Now = func() time.Time { l.now = l.now.Add(time.Second); return l.now }
	return l
}

func (l *lead) must(day workshop.DayPlan, err error) workshop.DayPlan {
	l.t.Helper()
	if err != nil {
		l.t.Fatal(err)
	}
	l.sound()
	return day
}

func (l *lead) sound() {
	l.t.Helper()
	broken, err := l.Verify(l.ctx)
	if err != nil || len(broken) > 0 {
		l.t.Fatalf("broken %v, %v", broken, err)
	}
}

func (l *lead) propose() workshop.DayPlan {
	l.t.Helper()
	return l.must(l.ProposeDay(l.ctx, l.day))
}
func (l *lead) release() workshop.DayPlan {
	l.t.Helper()
	return l.must(l.ReleaseDay(l.ctx, l.day))
}
func (l *lead) change(c workshop.DayChanges) workshop.DayPlan {
	l.t.Helper()
	return l.must(l.ReplanDay(l.ctx, l.day, c))
}

func of(day workshop.DayPlan) []batch.Batch {
	var all []batch.Batch
	for _, m := range day.Machines {
		all = append(all, m.Batches...)
	}
	return all
}

func find(t testing.TB, day workshop.DayPlan, code batch.Code) batch.Batch {
	t.Helper()
	for _, b := range of(day) {
		if b.Code == code {
			return b
		}
	}
	t.Fatalf("batch %s is not in the plan", code)
	return batch.Batch{}
}

// machineWith finds a machine with at least so many batches.
func machineWith(t testing.TB, day workshop.DayPlan, n int) planning.MachineDay {
	t.Helper()
	for _, m := range day.Machines {
		if len(m.Batches) >= n {
			return m
		}
	}
	t.Fatalf("no machine has %d batches", n)
	return planning.MachineDay{}
}

func minutes(n int) *time.Duration { d := time.Duration(n) * time.Minute; return &d }

func TestPlannedAgainWithNoChangeIsTheSamePlan(t *testing.T) {
	l := newLead(t)
	first := l.propose()
	for _, c := range []workshop.DayChanges{{}, {Resume: []planning.Held{{Recipe: "p-10.5", Scale: 1}}}, {Up: []catalog.MachineCode{"bench-1"}}, {Overtime: minutes(0)},
		{Late: []planning.Delay{{Batch: of(first)[0].Code}}}} {
		again := l.change(c)
		if !reflect.DeepEqual(again.Plan, first.Plan) || len(again.Differences) > 0 {
			t.Errorf("%+v: another plan: %v", c, again.Differences)
		}
	}
	if again := l.propose(); !reflect.DeepEqual(again.Plan, first.Plan) {
		t.Error("proposed again it is another plan")
	}
}

func TestPinMoveAndUnpin(t *testing.T) {
	l := newLead(t)
	first := l.propose()
	m := machineWith(t, first, 3)
	code := m.Batches[2].Code
	moved := l.change(workshop.DayChanges{Move: []planning.Move{{Batch: code, Machine: m.Machine, Place: 1}}})
	if b := find(t, moved, code); b.Sequence != 1 || b.Machine != m.Machine || !slices.Contains(moved.Pinned, code) {
		t.Errorf("moved to place 1 of %s: %d of %s, pinned %v", m.Machine, b.Sequence, b.Machine, moved.Pinned)
	}
	if want := planning.Differences(first.Plan, moved.Plan); len(want) == 0 || !reflect.DeepEqual(moved.Differences, want) {
		t.Errorf("differences %+v, want %+v", moved.Differences, want)
	}
	if again := l.change(workshop.DayChanges{Move: []planning.Move{{Batch: code, Machine: m.Machine, Place: 1}}, Pin: []batch.Code{code}}); !reflect.DeepEqual(again.Plan, moved.Plan) {
		t.Error("asked twice it is another plan")
	}
	if again := l.propose(); find(t, again, code).Sequence != 1 {
		t.Error("the pin did not hold when the day was proposed again")
	}
	if free := l.change(workshop.DayChanges{Unpin: []batch.Code{code}}); len(free.Pinned) != 0 {
		t.Errorf("still pinned: %v", free.Pinned)
	}
}

func TestHoldAndResume(t *testing.T) {
	l := newLead(t)
	b := of(l.propose())[0]
	strings := planning.Held{Recipe: b.Recipe, Scale: b.Scale}
	winds := func(day workshop.DayPlan) bool {
		return slices.ContainsFunc(of(day), func(o batch.Batch) bool { return o.Recipe == b.Recipe && o.Scale == b.Scale })
	}
	held := l.change(workshop.DayChanges{Hold: []batch.Code{b.Code}})
	if winds(held) || !slices.Equal(held.Held, []planning.Held{strings}) {
		t.Errorf("held %v, wound %v", held.Held, winds(held))
	}
	if again := l.change(workshop.DayChanges{HoldStrings: []planning.Held{strings}}); !reflect.DeepEqual(again.Plan, held.Plan) {
		t.Error("held twice it is another plan")
	}
	if again := l.propose(); winds(again) {
		t.Error("the hold did not hold when the day was proposed again")
	}
	resumed := l.change(workshop.DayChanges{Resume: []planning.Held{strings}})
	back := func(n planning.NotPlanned) bool { return n.Detail == "held by the lead; resume it to plan it" }
	if !slices.ContainsFunc(held.NotPlanned, back) || slices.ContainsFunc(resumed.NotPlanned, back) || len(resumed.Held) > 0 {
		t.Errorf("resumed: held %v, not planned %v", resumed.Held, resumed.NotPlanned)
	}
	if day := l.change(workshop.DayChanges{Anew: true, Overtime: minutes(240)}); !winds(day) {
		t.Error("with time enough it is not wound")
	}
	if _, err := l.ReplanDay(l.ctx, l.day, workshop.DayChanges{HoldStrings: []planning.Held{{Recipe: "none", Scale: b.Scale}}}); err == nil {
		t.Error("strings of no recipe were held")
	}
}

func TestSplit(t *testing.T) {
	l := newLead(t)
	first := l.propose()
	tried := false
	for _, b := range of(first) {
		if b.Ordered < 4 {
			continue
		}
		day, err := l.ReplanDay(l.ctx, l.day, workshop.DayChanges{Split: []planning.Split{{Batch: b.Code, Strings: 2}}})
		if err != nil {
			continue // no other machine takes it
		}
		tried = true
		l.sound()
		var machines []catalog.MachineCode
		for _, o := range of(day) {
			if o.Recipe == b.Recipe && o.Scale == b.Scale {
				machines = append(machines, o.Machine)
			}
		}
		if len(machines) != 2 || machines[0] == machines[1] {
			t.Errorf("%s of %s is wound on %v", b.Code, b.Machine, machines)
		}
		if again := l.propose(); len(of(again)) != len(of(day)) {
			t.Error("the split did not hold when the day was proposed again")
		}
		break
	}
	if !tried {
		t.Fatal("no batch of the scenario can be split")
	}
}

func TestDownUpAndOvertime(t *testing.T) {
	l := newLead(t)
	first := l.propose()
	m := machineWith(t, first, 2).Machine
	on := func(day workshop.DayPlan) (n int) {
		for _, d := range day.Machines {
			if d.Machine == m {
				n = len(d.Batches)
			}
		}
		return n
	}
	down := l.change(workshop.DayChanges{Down: []catalog.MachineCode{m}})
	if on(down) != 0 || !slices.Equal(down.Down, []catalog.MachineCode{m}) {
		t.Errorf("down %v winds %d batches", down.Down, on(down))
	}
	if again := l.propose(); on(again) != 0 {
		t.Error("it is up when the day is proposed again")
	}
	over := l.change(workshop.DayChanges{Overtime: minutes(120)})
	if over.Allowed != 2*time.Hour || ordered(over) < ordered(down) {
		t.Errorf("%s allowed, %d strings after %d", over.Allowed, ordered(over), ordered(down))
	}
	if up := l.change(workshop.DayChanges{Up: []catalog.MachineCode{m}, Overtime: minutes(0)}); on(up) == 0 || up.Allowed != 0 || ordered(up) < ordered(down) {
		t.Errorf("up it winds %d batches, %s allowed", on(up), up.Allowed)
	}
	if anew := l.change(workshop.DayChanges{Anew: true}); ordered(anew) != ordered(first) || len(anew.Down) > 0 {
		t.Errorf("anew it winds %d strings, at first %d", ordered(anew), ordered(first))
	}
}

func ordered(day workshop.DayPlan) (n int) {
	for _, b := range of(day) {
		n += b.Ordered
	}
	return n
}

func TestABatchRunsLate(t *testing.T) {
	l := newLead(t)
	m := machineWith(t, l.propose(), 2)
	l.release()
	b := m.Batches[0]
	late := l.change(workshop.DayChanges{Late: []planning.Delay{{Batch: b.Code, By: 10 * time.Minute}}})
	if got := find(t, late, b.Code); got.Run != b.Run+10*time.Minute {
		t.Errorf("runs %s, planned %s", got.Run, b.Run)
	}
	if next := find(t, late, m.Batches[1].Code); next.Starts != m.Batches[1].Starts+10*time.Minute {
		t.Errorf("the next one starts at %s, planned %s", next.Starts, m.Batches[1].Starts)
	}
	if again := l.change(workshop.DayChanges{Late: []planning.Delay{{Batch: b.Code, By: 10 * time.Minute}}}); !reflect.DeepEqual(again.Plan, late.Plan) {
		t.Error("told twice it is twice as late")
	}
	if !late.Released {
		t.Error("the day is not released any more")
	}
}

// What is released stays as it is, whatever comes in besides, and only what is new is released next.
func TestReleasedBatchesNeverMoveByThemselves(t *testing.T) {
	l := newLead(t)
	l.propose()
	held := l.change(workshop.DayChanges{Hold: []batch.Code{of(l.propose())[3].Code}})
	first := l.release()
	if !first.Released || len(of(first)) != len(of(held)) {
		t.Fatalf("released %v, %d batches of %d", first.Released, len(of(first)), len(of(held)))
	}
	if again := l.propose(); !again.Released || !reflect.DeepEqual(again, first) {
		t.Error("a released day with nothing new is not given back as it stands")
	}
	grown := l.change(workshop.DayChanges{Resume: held.Held, Overtime: minutes(60)})
	fresh := 0
	for _, b := range of(grown) {
		if b.Status == batch.Proposed {
			fresh++
			continue
		}
		if was := find(t, first, b.Code); was.Machine != b.Machine || was.Sequence != b.Sequence || !reflect.DeepEqual(was.Draws, b.Draws) || !reflect.DeepEqual(was.Serves, b.Serves) {
			t.Errorf("batch %s was %+v, is %+v", b.Code, was, b)
		}
	}
	if fresh == 0 || grown.Released || len(of(grown)) != len(of(first))+fresh {
		t.Fatalf("%d new beside %d, released %v", fresh, len(of(first)), grown.Released)
	}
	if again := l.propose(); !reflect.DeepEqual(again.Plan, grown.Plan) {
		t.Error("proposed again it is another plan")
	}
	sheets, err := l.DaySheets(l.ctx, l.day)
	if err != nil || len(sheets.Sheets) != len(of(first)) {
		t.Errorf("%d sheets of %d released batches, %v", len(sheets.Sheets), len(of(first)), err)
	}
	if second := l.release(); !second.Released || len(of(second)) != len(of(grown)) {
		t.Errorf("released %v, %d batches of %d", second.Released, len(of(second)), len(of(grown)))
	}
	for _, c := range []workshop.DayChanges{{Hold: []batch.Code{of(first)[0].Code}}, {Split: []planning.Split{{Batch: of(first)[0].Code, Strings: 1}}}} {
		if _, err := l.ReplanDay(l.ctx, l.day, c); !errors.Is(err, workshop.ErrStage) {
			t.Errorf("%+v of a released batch: %v", c, err)
		}
	}
}

func TestResultsCount(t *testing.T) {
	l := newLead(t)
	l.propose()
	first := l.release()
	m := machineWith(t, first, 2)
	b := m.Batches[0]
	_, err := l.PostResult(l.ctx, workshop.ResultForm{Batch: b.Code, Good: b.ToWind, Minutes: b.Run + 7*time.Minute, Person: "Ada"})
	if err != nil {
		t.Fatal(err)
	}
	again := l.propose()
	if got := find(t, again, b.Code); got.Status != batch.Finished || got.Run != b.Run+7*time.Minute {
		t.Errorf("it is %s and took %s, planned %s", got.Status, got.Run, b.Run)
	}
	if next := find(t, again, m.Batches[1].Code); next.Starts != m.Batches[1].Starts+7*time.Minute {
		t.Errorf("the next one starts at %s, planned %s", next.Starts, m.Batches[1].Starts)
	}
	if once := l.propose(); !reflect.DeepEqual(once.Plan, again.Plan) {
		t.Error("proposed again it is another plan")
	}
	_, err = l.ReplanDay(l.ctx, l.day, workshop.DayChanges{Move: []planning.Move{{Batch: b.Code, Machine: m.Machine, Place: 2}}})
	if !errors.Is(err, workshop.ErrStage) {
		t.Errorf("a finished batch was moved: %v", err)
	}
	if _, err := l.TakeBack(l.ctx, b.Code, "too late"); !errors.Is(err, workshop.ErrStage) {
		t.Errorf("a finished batch was taken back: %v", err)
	}
}

func TestTakeBack(t *testing.T) {
	l := newLead(t)
	l.propose()
	first := l.release()
	b := of(first)[0]
	if _, err := l.TakeBack(l.ctx, b.Code, " "); err == nil {
		t.Error("taken back without a reason")
	}
	day := l.must(l.TakeBack(l.ctx, b.Code, "the bench needs it tomorrow"))
	if got := find(t, day, b.Code); got.Status != batch.Proposed || day.Released {
		t.Errorf("it is %s, the day released %v", got.Status, day.Released)
	}
	if again := l.must(l.TakeBack(l.ctx, b.Code, "again")); !reflect.DeepEqual(again, day) {
		t.Error("taken back twice it is another day")
	}
	held := l.change(workshop.DayChanges{Hold: []batch.Code{b.Code}})
	if slices.ContainsFunc(of(held), func(o batch.Batch) bool { return o.Recipe == b.Recipe && o.Scale == b.Scale }) {
		t.Error("it was taken back and held, and is wound")
	}
	for _, o := range held.Standing() {
		l.must(l.TakeBack(l.ctx, o.Code, "no day for winding"))
	}
	if day, err := l.Day(l.ctx, l.day); err != nil || day.Released || day.ReleasedBy != "" || len(day.Standing()) > 0 {
		t.Errorf("all taken back: %v released by %q, %v", day.Released, day.ReleasedBy, err)
	}
	for _, sv := range b.Serves {
		if story, err := l.Order(l.ctx, sv.Order); err != nil || story.Order.Status != order.Confirmed {
			t.Errorf("order %s is %s, %v", sv.Order, story.Order.Status, err)
		}
	}
}

func TestChangesAreRefused(t *testing.T) {
	l := newLead(t)
	if _, err := l.ReplanDay(l.ctx, l.day, workshop.DayChanges{}); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("a day without a plan: %v", err)
	}
	b := of(l.propose())[0]
	for _, c := range []workshop.DayChanges{
		{Pin: []batch.Code{"B-none"}}, {Unpin: []batch.Code{"B-none"}}, {Hold: []batch.Code{"B-none"}},
		{Move: []planning.Move{{Batch: b.Code, Machine: "none", Place: 1}}}, {Move: []planning.Move{{Batch: b.Code, Machine: b.Machine}}},
		{Split: []planning.Split{{Batch: b.Code, Strings: b.Ordered}}}, {Split: []planning.Split{{Batch: b.Code, Strings: 1, Machine: b.Machine}}},
		{Down: []catalog.MachineCode{"none"}}, {Up: []catalog.MachineCode{"none"}},
		{Late: []planning.Delay{{Batch: b.Code, By: -time.Minute}}}, {Overtime: minutes(100000)}, {Overtime: minutes(-1)},
	} {
		if _, err := l.ReplanDay(l.ctx, l.day, c); err == nil {
			t.Errorf("%+v was not refused", c)
		}
	}
	winder := testkit.As(t.Context(), workshop.Winder)
	if _, err := l.ReplanDay(winder, l.day, workshop.DayChanges{}); !errors.Is(err, workshop.ErrForbidden) {
		t.Errorf("a winder changed the plan: %v", err)
	}
	if _, err := l.TakeBack(winder, b.Code, "why not"); !errors.Is(err, workshop.ErrForbidden) {
		t.Errorf("a winder took a batch back: %v", err)
	}
}

func TestSheetVersions(t *testing.T) {
	l := newLead(t)
	l.propose()
	first := l.release()
	versions := func() map[batch.Code]int {
		t.Helper()
		day, err := l.DaySheets(l.ctx, l.day)
		if err != nil {
			t.Fatal(err)
		}
		of := map[batch.Code]int{}
		for _, s := range day.Sheets {
			of[s.Code] = s.Version
		}
		return of
	}
	want := versions()
	for code, v := range want {
		if v != 1 {
			t.Errorf("%s begins at version %d", code, v)
		}
	}
	m := machineWith(t, first, 3)
	var later []batch.Code // than the first batch
	for _, b := range m.Batches[1:] {
		later = append(later, b.Code)
	}
	steps := []struct {
		name    string
		do      func()
		changed []batch.Code
	}{
		{"printed again", func() {}, nil},
		{"a batch runs late", func() {
			l.change(workshop.DayChanges{Late: []planning.Delay{{Batch: m.Batches[1].Code, By: 5 * time.Minute}}})
		}, later}, // its sheet and those after it say other times
		{"a batch is wound", func() {
			if _, err := l.PostResult(l.ctx, workshop.ResultForm{Batch: m.Batches[0].Code, Good: m.Batches[0].ToWind, Person: "Ada"}); err != nil {
				t.Fatal(err)
			}
		}, nil},
		{"two batches change places", func() {
			l.change(workshop.DayChanges{Move: []planning.Move{{Batch: m.Batches[2].Code, Machine: m.Machine, Place: 2}}})
		}, later},
	}
	for _, step := range steps {
		step.do()
		for _, code := range step.changed {
			want[code]++
		}
		if got := versions(); !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %v, want %v", step.name, got, want)
		}
	}
}

func TestLookAhead(t *testing.T) {
	l := newLead(t)
	week := []time.Weekday{time.Monday, time.Tuesday, time.Wednesday, time.Thursday, time.Friday}
	l.Days, _ = calendar.NewShopDays(week, []calendar.Date{l.day + 2})
	days, err := l.LookAhead(l.ctx, l.day, 10)
	if err != nil || len(days) != 10 {
		t.Fatalf("%d days, %v", len(days), err)
	}
	first := l.propose()
	if !reflect.DeepEqual(of(workshop.DayPlan{Plan: days[0].Plan}), withoutEach(of(first))) {
		t.Error("the first day ahead is another plan than the day's")
	}
	completed := map[order.Code]bool{}
	for i, d := range days {
		if !l.Days.IsWorkday(d.Date) || i > 0 && d.Date <= days[i-1].Date {
			t.Errorf("day %d is %s", i, d.Date)
		}
		for _, c := range d.Completed {
			if completed[c] {
				t.Errorf("order %s is completed twice", c)
			}
			completed[c] = true
		}
		for _, load := range d.Loads {
			if load.Setup+load.Run > load.Minutes {
				t.Errorf("%s on %s: %s of %s", load.Machine, d.Date, load.Setup+load.Run, load.Minutes)
			}
		}
	}
	if len(completed) == 0 {
		t.Error("no order is completed")
	}
	l.release()
	after, err := l.LookAhead(l.ctx, l.day, 10)
	if err != nil || len(of(workshop.DayPlan{Plan: after[0].Plan})) != len(of(first)) {
		t.Fatalf("released, the first day has %d batches of %d, %v", len(of(workshop.DayPlan{Plan: after[0].Plan})), len(of(first)), err)
	}
	for i, d := range after {
		if !slices.Equal(d.Completed, days[i].Completed) || d.Setup != days[i].Setup {
			t.Errorf("released, %s completes %v with setup %s, before %v with %s", d.Date, d.Completed, d.Setup, days[i].Completed, days[i].Setup)
		}
	}
	if _, err := l.LookAhead(l.ctx, l.day, 0); err == nil {
		t.Error("looked ahead for no day")
	}
	if kept, err := l.Day(l.ctx, l.day+1); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("a day ahead was kept: %v, %v", kept.Date, err)
	}
}

// withoutEach leaves out what a kept draw notes beside the engine's.
func withoutEach(list []batch.Batch) []batch.Batch {
	for i := range list {
		list[i].Draws = slices.Clone(list[i].Draws)
		for d := range list[i].Draws {
			list[i].Draws[d].Each = 0
		}
	}
	return list
}

func TestAReleasedBatchOfACancelledOrderIsNamed(t *testing.T) {
	l := newLead(t)
	l.propose()
	day := l.release()
	if len(day.Cancelled) > 0 {
		t.Fatalf("nothing is cancelled: %v", day.Cancelled)
	}
	gone := of(day)[0].Serves[0].Order
	if _, err := l.CancelOrder(testkit.As(t.Context(), workshop.Owner), gone, "changed their mind"); err != nil {
		t.Fatal(err)
	}
	want := map[batch.Code]int{}
	for _, b := range of(day) {
		for _, sv := range b.Serves {
			if sv.Order == gone {
				want[b.Code] += sv.Strings
			}
		}
	}
	day = l.propose()
	for _, c := range day.Cancelled {
		b := find(t, day, c.Batch)
		all := !slices.ContainsFunc(b.Serves, func(sv batch.Serve) bool { return sv.Order != gone })
		if c.Order != gone || c.Strings != want[c.Batch] || c.All != all {
			t.Errorf("%+v, want %d strings of order %s, all %v", c, want[c.Batch], gone, all)
		}
		delete(want, c.Batch)
		l.must(l.TakeBack(l.ctx, c.Batch, "cancelled"))
	}
	if len(want) > 0 {
		t.Errorf("not named: %v", want)
	}
	if day = l.propose(); len(day.Cancelled) > 0 {
		t.Errorf("still named: %v", day.Cancelled)
	}
	for _, b := range of(day) {
		if slices.ContainsFunc(b.Serves, func(sv batch.Serve) bool { return sv.Order == gone }) {
			t.Errorf("%s winds for a cancelled order", b.Code)
		}
	}
}
