package workshop_test

import (
	"errors"
	"slices"
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

func (w *winders) counted(code batch.Code, good, scrapped int, reason, key string) workshop.Marked {
	w.t.Helper()
	m, err := w.CountStrings(w.as(workshop.Winder), workshop.CountForm{Batch: code, Good: good, Scrapped: scrapped, Reason: reason, Key: key})
	if err != nil {
		w.t.Fatal(err)
	}
	return m
}

// TestTallyBecomesAResult: counting moves no wire; done posts it once; undoing gives the tally back.
func TestTallyBecomesAResult(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 6, 0, w.day+1)
	plain := w.release(w.day)["P-10"]
	spool := plain.Draws[0].Spool
	movements := func() int {
		h, err := w.Movements(w.as(workshop.Winder), spool)
		if err != nil {
			t.Fatal(err)
		}
		return len(h.Movements)
	}
	before := movements()
	began := w.Now()
	if m, err := w.BeginBatch(w.as(workshop.Winder), plain.Code); err != nil || !m.Tally.BegunAt.Equal(began) {
		t.Fatalf("begun at %v, %v", m.Tally.BegunAt, err)
	}
	w.counted(plain.Code, 1, 0, "", "k1")
	if m := w.counted(plain.Code, 1, 0, "", "k1"); m.Tally.Good != 1 {
		t.Errorf("one key counted %d", m.Tally.Good)
	}
	ten := w.counted(plain.Code, 10, 0, "", "k2")
	scrap := w.counted(plain.Code, 0, 1, "core broke", "k3")
	if scrap.Tally.Good != 11 || scrap.Tally.Scrapped != 1 || scrap.Tally.Reasons[0] != (batch.ScrapReason{Reason: "core broke", Strings: 1}) {
		t.Errorf("tally is %+v", scrap.Tally)
	}
	for range 2 {
		if m, err := w.UndoMark(w.as(workshop.Winder), plain.Code, ten.Mark.Number); err != nil || m.Tally.Good != 1 {
			t.Fatalf("taken back: %+v, %v", m.Tally, err)
		}
	}
	w.counted(plain.Code, 4, 0, "", "k4")
	if got := movements(); got != before {
		t.Errorf("counting posted %d movements", got-before)
	}
	if _, err := w.TakeBack(w.as(workshop.Lead), plain.Code, "not today"); !errors.Is(err, workshop.ErrStage) {
		t.Errorf("a counted batch was taken back: %v", err)
	}
	form := workshop.DoneForm{Batch: plain.Code, Good: 5, Scrapped: 1, Minutes: 4 * time.Minute, Key: "d"}
	for i := range 2 {
		out, err := w.FinishBatch(w.as(workshop.Winder), form)
		if err != nil || out.Unchanged != (i == 1) || out.Result.Number != 1 || out.Result.Person != "test winder" {
			t.Fatalf("done: %+v, %v", out, err)
		}
	}
	w.sound()
	if got := movements(); got != before+1 {
		t.Errorf("done posted %d movements", got-before)
	}
	if _, err := w.UndoMark(w.as(workshop.Winder), plain.Code, scrap.Mark.Number); !errors.Is(err, workshop.ErrStage) {
		t.Errorf("a posted count was taken back: %v", err)
	}
	bench, err := w.Bench(w.as(workshop.Winder), plain.Machine, "")
	if err != nil || bench.Sheet != nil && bench.Sheet.Code == plain.Code {
		t.Fatalf("the bench shows %+v, %v", bench.Sheet, err)
	}
	if _, err := w.UndoResult(w.as(workshop.Winder), plain.Code, 1, "too early"); err != nil {
		t.Fatal(err)
	}
	w.sound()
	bench, err = w.Bench(w.as(workshop.Winder), plain.Machine, plain.Code)
	if err != nil || bench.Progress.Good != 5 || bench.Progress.Scrapped != 1 || !bench.Progress.Running() {
		t.Fatalf("after undoing the bench counts %+v, %v", bench.Progress, err)
	}
	if strings, good := bench.Progress.Wound(); strings != 6 || good != 5 {
		t.Errorf("%d wound, %d good", strings, good)
	}
}

// TestSpoolIsSwitchedAtTheBench: what is wound after the switch is drawn from the other spool.
func TestSpoolIsSwitchedAtTheBench(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 6, 0, w.day+1)
	plain := w.release(w.day)["P-10"]
	planned := plain.Draws[0]
	list, err := w.Stock(w.as(workshop.Winder), 0)
	if err != nil {
		t.Fatal(err)
	}
	other, alien := stock.SpoolCode(""), stock.SpoolCode("")
	for _, b := range list.Spools {
		switch {
		case b.Wire == planned.Wire && b.Code != planned.Spool:
			other = b.Code
		case b.Wire != planned.Wire:
			alien = b.Code
		}
	}
	if other == "" || alien == "" {
		t.Fatalf("no spools to try with among %v", list.Spools)
	}
	w.counted(plain.Code, 2, 0, "", "")
	for _, no := range []stock.SpoolCode{alien, "S-none"} {
		if _, err := w.SwitchSpool(w.as(workshop.Winder), plain.Code, no, ""); err == nil {
			t.Errorf("%s was put on", no)
		}
	}
	if m, err := w.SwitchSpool(w.as(workshop.Winder), plain.Code, other, ""); err != nil || m.Mark.Spool != other {
		t.Fatalf("switched: %+v, %v", m, err)
	}
	bench, err := w.Bench(w.as(workshop.Winder), plain.Machine, plain.Code)
	if err != nil || bench.Loaded[0].Spool != other || !bench.Loaded[0].Switched {
		t.Fatalf("the bench shows %+v, %v", bench.Loaded, err)
	}
	w.counted(plain.Code, 3, 0, "", "")
	part, err := w.FinishBatch(w.as(workshop.Winder), workshop.DoneForm{Batch: plain.Code, Good: 5, Continues: true})
	if err != nil {
		t.Fatal(err)
	}
	took := map[stock.SpoolCode]int{}
	for _, d := range part.Result.Draws {
		took[d.Spool] = d.Strings
	}
	if took[planned.Spool] != 2 || took[other] != 3 {
		t.Errorf("drawn: %v", took)
	}
	w.sound()
	bench, err = w.Bench(w.as(workshop.Winder), plain.Machine, "")
	if err != nil || bench.Sheet.Code != plain.Code || bench.Loaded[0].Spool != other || bench.Progress.Good != 0 || bench.Progress.Posted.Good != 5 {
		t.Fatalf("in its second part the bench shows %+v of %+v, %v", bench.Loaded, bench.Progress, err)
	}
}

func TestCountsThatAreRefused(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 6, 0, w.day+1)
	plain := w.release(w.day)["P-10"]
	for name, f := range map[string]workshop.CountForm{
		"below nothing":        {Good: -1},
		"scrap without reason": {Scrapped: 1},
		"a slip of the hand":   {Good: 100_000},
	} {
		f.Batch = plain.Code
		if m, err := w.CountStrings(w.as(workshop.Winder), f); err == nil {
			t.Errorf("%s: counted %+v", name, m)
		}
	}
	if _, err := w.CountStrings(w.as(workshop.Bookkeeper), workshop.CountForm{Batch: plain.Code, Good: 1}); !errors.Is(err, workshop.ErrForbidden) {
		t.Errorf("a bookkeeper counts: %v", err)
	}
	if _, err := w.CountStrings(w.as(workshop.Winder), workshop.CountForm{Batch: "B-none", Good: 1}); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("a batch of nowhere is counted: %v", err)
	}
	if m := w.counted(plain.Code, 0, 0, "", "x"); m.Mark.Number != 0 {
		t.Errorf("nothing was noted as %+v", m.Mark)
	}
}

// TestTakingBackABegunBatch: a batch that was only begun may be taken back and planned anew.
func TestTakingBackABegunBatch(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 6, 0, w.day+1)
	plain := w.release(w.day)["P-10"]
	if _, err := w.BeginBatch(w.as(workshop.Winder), plain.Code); err != nil {
		t.Fatal(err)
	}
	if _, err := w.TakeBack(w.as(workshop.Lead), plain.Code, "not today"); err != nil {
		t.Fatal(err)
	}
	if _, err := w.ReplanDay(w.as(workshop.Lead), w.day, workshop.DayChanges{Hold: []batch.Code{plain.Code}}); err != nil {
		t.Fatal(err)
	}
	w.sound()
}

// TestOwnWeighingIsTakenBack: the one who weighed may, at once.
func TestOwnWeighingIsTakenBack(t *testing.T) {
	w := newWinders(t)
	list, err := w.Stock(w.as(workshop.Winder), 0)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(list.Spools, func(b stock.Balance) bool { return b.Mass > 0 })
	b := list.Spools[i]
	weighed, err := w.Weigh(w.as(workshop.Winder), workshop.Weigh{Spool: b.Code, Gross: b.Mass + b.Tare - 100})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.UndoWeighing(w.as(workshop.Lead), weighed.Movement.ID); !errors.Is(err, workshop.ErrStage) {
		t.Errorf("another took it back: %v", err)
	}
	if out, err := w.UndoWeighing(w.as(workshop.Winder), weighed.Movement.ID); err != nil || out.Spool.Mass != b.Mass {
		t.Fatalf("holds %v, %v", out.Spool.Mass, err)
	}
	w.sound()
}
