package workshop_test

import (
	"errors"
	"strings"
	"testing"

	"windingroom/internal/batch"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
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
