package workshop_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/intake"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

func (l *lead) on(code stock.SpoolCode) stock.Balance {
	l.t.Helper()
	list, err := l.Stock(l.ctx, 0)
	if err != nil {
		l.t.Fatal(err)
	}
	for _, b := range list.Spools {
		if b.Code == code {
			return b
		}
	}
	l.t.Fatalf("no spool %s", code)
	return stock.Balance{}
}

// drawing finds a batch that draws on a spool which no other batch of the day uses, and gives its first draw.
func drawing(t *testing.T, day workshop.DayPlan) (batch.Batch, batch.Draw) {
	t.Helper()
	uses := map[stock.SpoolCode]int{}
	for _, b := range of(day) {
		for _, d := range b.Draws {
			uses[d.Spool]++
		}
	}
	for _, b := range of(day) {
		if d := b.Draws[0]; uses[d.Spool] == 1 && d.Mass > 4*measure.Gram {
			return b, d
		}
	}
	t.Fatal("no batch has a spool of its own")
	return batch.Batch{}, batch.Draw{}
}

// What a scale said stands: a result that is written up later for work done before the weighing takes nothing more off the
// spool, and one that is undone after the weighing puts nothing on it.
func TestAWeighingStands(t *testing.T) {
	l := newLead(t)
	l.propose()
	b, d := drawing(t, l.release())
	before := l.on(d.Spool)
	weighed := before.Gross - before.Net() + before.Mass - d.Mass // as if the batch were wound
	weigh := workshop.Weigh{Spool: d.Spool, Gross: weighed}
	if _, err := l.Weigh(l.ctx, weigh); !errors.Is(err, stock.ErrUnconfirmed) || !strings.Contains(err.Error(), string(b.Code)) {
		t.Fatalf("a loss that a batch without a result explains: %v", err)
	}
	weigh.Second = &weighed
	if _, err := l.Weigh(l.ctx, weigh); !errors.Is(err, stock.ErrUnconfirmed) {
		t.Fatalf("a second reading does not tell whether the batch is wound: %v", err)
	}
	weigh.Second, weigh.Confirmed = nil, true
	if _, err := l.Weigh(l.ctx, weigh); err != nil {
		t.Fatal(err)
	}
	want := before.Mass - d.Mass
	if got := l.on(d.Spool).Mass; got != want {
		t.Fatalf("weighed %s, holds %s", want, got)
	}

	form := workshop.ResultForm{Batch: b.Code, WoundOn: l.day - 1, Good: b.ToWind, Person: "Ada"}
	if _, err := l.PostResult(l.ctx, form); err != nil {
		t.Fatal(err)
	}
	if got := l.on(d.Spool).Mass; got != want {
		t.Errorf("a result of the day before the weighing leaves %s, want %s", got, want)
	}
	err := l.Store.Read(l.ctx, func(r workshop.Reader) error {
		draws, err := r.WeighedDraws()
		for _, w := range draws {
			if w.Wire == d.Wire && (w.Drawn != d.Mass || w.Share != 0) {
				t.Errorf("the batch took %s as computed, and bears %s", w.Drawn, w.Share)
			}
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
	l.sound()
	undo := func() {
		t.Helper()
		if _, err := l.UndoResult(l.ctx, b.Code, 1, "posted on the wrong batch"); err != nil {
			t.Fatal(err)
		}
	}
	undo()
	if got := l.on(d.Spool).Mass; got != want {
		t.Errorf("undone, the spool holds %s, want %s", got, want)
	}
	l.sound()
}

// A result of today is work after a weighing of this morning: it draws as ever, and undoing it after an evening's weighing leaves
// what the evening weighed.
func TestWorkAfterAWeighing(t *testing.T) {
	l := newLead(t)
	l.propose()
	b, d := drawing(t, l.release())
	morning := l.on(d.Spool)
	if _, err := l.PostResult(l.ctx, workshop.ResultForm{Batch: b.Code, Good: b.ToWind, Person: "Ada"}); err != nil {
		t.Fatal(err)
	}
	if got := l.on(d.Spool).Mass; got != morning.Mass-d.Mass {
		t.Fatalf("drawn to %s, want %s", got, morning.Mass-d.Mass)
	}
	gross := morning.Tare + morning.Mass - d.Mass - 100*measure.Milligram
	if _, err := l.Weigh(l.ctx, workshop.Weigh{Spool: d.Spool, Gross: gross, Confirmed: true}); err != nil {
		t.Fatal(err)
	}
	if _, err := l.UndoResult(l.ctx, b.Code, 1, "posted on the wrong batch"); err != nil {
		t.Fatal(err)
	}
	if got := l.on(d.Spool).Mass; got != gross-morning.Tare {
		t.Errorf("undone after the evening's weighing: %s, want %s", got, gross-morning.Tare)
	}
	l.sound()
}

// An earlier weighing that is written up after a later one changes what the books say of its time, and nothing after the later one.
func TestALaterWeighingStands(t *testing.T) {
	b := newBench(t)
	keeper, lead, monday := b.as(workshop.Bookkeeper), b.as(workshop.Lead), b.now
	b.draw("S-1", "by hand", 300*g, monday.Add(-time.Hour)) // of 500 g; 40 g more than was really taken
	b.now = b.now.Add(48 * time.Hour)
	wednesday, err := b.Weigh(lead, workshop.Weigh{Spool: "S-1", Gross: 450 * g, Confirmed: true}) // with a tare of 200 g
	if err != nil {
		t.Fatal(err)
	}
	holds := func(want measure.Mass) {
		t.Helper()
		if got := b.spool("S-1"); got.Mass != want {
			t.Errorf("holds %s, want %s", got.Mass, want)
		}
		if broken, err := b.Verify(b.as(workshop.Owner)); err != nil || len(broken) > 0 {
			t.Errorf("broken: %v, %v", broken, err)
		}
	}
	holds(250 * g)
	b.now = b.now.Add(time.Hour)
	// With the 260 g beyond the books the spool would hold 510 g of 500 g, and without it less than nothing.
	late, err := b.Weigh(lead, workshop.Weigh{Spool: "S-1", Gross: 660 * g, At: monday, Confirmed: true})
	if err != nil || late.Movement.Mass != 260*g || late.Spool.Mass != 250*g || !strings.Contains(late.Why, "weighed again since") {
		t.Fatalf("posted %+v of a spool with %s, %v", late.Movement, late.Spool.Mass, err)
	}
	holds(250 * g)
	if a, err := b.Accuracy(keeper, testkit.Day(t)-10, testkit.Day(t)+10); err != nil || a.All.Records != 2 {
		t.Errorf("two weighings count %d times, %v", a.All.Records, err)
	}
	if p, err := b.Reverse(keeper, late.Movement.ID, "another spool"); err != nil || p.Spool.Mass != 250*g {
		t.Fatalf("the earlier one taken back: %+v, %v", p, err)
	}
	holds(250 * g)
	var problems intake.Problems
	if _, err := b.Reverse(keeper, late.Movement.ID+1, "x"); !errors.As(err, &problems) || !strings.Contains(err.Error(), fmt.Sprint(wednesday.Movement.ID)) {
		t.Errorf("what keeps a weighing taken back by itself: %v", err)
	}
	if _, err := b.Reverse(keeper, wednesday.Movement.ID, "another spool"); err != nil {
		t.Fatal(err)
	}
	holds(200 * g)
}

// What was written off and then weighed is not found again by taking the write-off back.
func TestATakenBackWriteOffMovesNoWeighedSpool(t *testing.T) {
	b := newBench(t)
	lead := b.as(workshop.Lead)
	off, err := b.WriteOff(lead, workshop.TakeOff{Spool: "S-1", Mass: 50 * g, Reason: "thought to be corroded"})
	if err != nil {
		t.Fatal(err)
	}
	b.now = b.now.Add(time.Hour)
	if _, err := b.Weigh(lead, workshop.Weigh{Spool: "S-1", Gross: 690 * g, Confirmed: true}); err != nil {
		t.Fatal(err)
	}
	if p, err := b.Reverse(lead, off.Movement.ID, "it is good"); err != nil || p.Spool.Mass != 490*g {
		t.Errorf("holds %s, want the 490 g that were weighed; %v", p.Spool.Mass, err)
	}
}
