package workshop_test

import (
	"errors"
	"slices"
	"testing"

	"windingroom/internal/intake"
	"windingroom/internal/money"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

func TestWireShelf(t *testing.T) {
	b := newBench(t)
	if _, err := b.WriteOff(b.as(workshop.Lead), workshop.TakeOff{Spool: "S-1", Mass: 496 * g, Reason: "rust"}); err != nil {
		t.Fatal(err)
	}
	shelf, err := b.WireShelf(b.as(workshop.Winder))
	if err != nil || len(shelf.Wires) != 2 {
		t.Fatalf("%d wires, %v", len(shelf.Wires), err)
	}
	for i, want := range []struct {
		below            bool
		onHand, drawable int64
	}{{true, 4, 0}, {false, 1000, 1000}} {
		w := shelf.Wires[i]
		if w.BelowUsableEnd() != want.below || int64(w.OnHand/g) != want.onHand || int64(w.Drawable/g) != want.drawable {
			t.Errorf("%s: below %v, on hand %s, drawable %s", w.Code, w.BelowUsableEnd(), w.OnHand, w.Drawable)
		}
	}
	if _, err := b.WriteOff(b.as(workshop.Lead), workshop.TakeOff{Spool: "s-1", Reason: "rust"}); err != nil {
		t.Fatal(err)
	}
	story, err := b.WireStory(b.as(workshop.Bookkeeper), "mw-10")
	if err != nil || story.Code != "MW-10" || len(story.Spools) != 0 || len(story.Empty) != 1 || story.BelowUsableEnd() || story.AlloyName == "" {
		t.Errorf("%+v, %v", story, err)
	}
	if _, err := b.WireStory(b.as(workshop.Winder), "nothing"); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("no wire: %v", err)
	}
}

func TestSpoolStory(t *testing.T) {
	b := newBench(t)
	weighed, err := b.Count(b.as(workshop.Bookkeeper), workshop.Weigh{Spool: "S-1", Gross: 699 * g, Note: "shelf check"})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.UndoWeighing(b.as(workshop.Bookkeeper), weighed.Movement.ID); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Weigh(b.as(workshop.Winder), workshop.Weigh{Spool: "S-1", Gross: 700 * g}); err != nil {
		t.Fatal(err)
	}
	story, err := b.SpoolStory(b.as(workshop.Winder), "s-1")
	if err != nil {
		t.Fatal(err)
	}
	var kinds []stock.Kind
	for _, e := range story.Events {
		kinds = append(kinds, e.Kind)
	}
	if want := []stock.Kind{stock.WeighBack, stock.Reversal, stock.CountDifference, stock.Receipt}; !slices.Equal(kinds, want) {
		t.Fatalf("kinds %v, want %v", kinds, want)
	}
	last, back, count, receipt := story.Events[0], story.Events[1], story.Events[2], story.Events[3]
	if !last.Reversible || last.Weighing == nil || last.After != 500*g || back.Reversible || count.Reversible || count.TakenBack != back.ID ||
		count.After != 499*g || count.Weighing.Note != "shelf check" || !receipt.Reversible || receipt.Weighing != nil {
		t.Errorf("%+v", story.Events)
	}
	if story.Wire.Code != "MW-10" || story.Weighed.IsZero() || story.Uncertainty <= 0 || story.Spool.Mass != 500*g {
		t.Errorf("%+v", story)
	}
}

func TestSplitDeliveryTakesNothingIn(t *testing.T) {
	b := newBench(t)
	rows := intake.SeveralSpools([]intake.SpoolText{
		{Spool: "S-3", Wire: "MW-10", Lot: "L9", Gross: "400", Tare: "100"},
		{Spool: "S-4", Wire: "PB-12", Lot: "L9", Gross: "800", Tare: "200"},
	})
	out, err := b.SplitDelivery(b.as(workshop.Lead), rows, intake.Invoice{Cost: "90.00", Freight: "9.01"})
	if err != nil || len(out.Spools) != 2 || out.Spools[0].Cost != 3300 || out.Spools[1].Cost != 6601 || out.Freight != money.Minor(901) {
		t.Fatalf("%+v, %v", out, err)
	}
	if _, err := b.SpoolStory(b.as(workshop.Lead), "S-3"); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("S-3 is on the shelf: %v", err)
	}
	if _, err := b.SplitDelivery(b.as(workshop.Winder), rows, intake.Invoice{}); !errors.Is(err, workshop.ErrForbidden) {
		t.Errorf("a winder: %v", err)
	}
}

func TestReceivingProposesCodes(t *testing.T) {
	b := newBench(t)
	r, err := b.Receiving(b.as(workshop.Bookkeeper))
	if err != nil || !slices.Equal(r.Codes(2), []string{"S-3", "S-4"}) || !slices.Equal(r.Places, []string{"rack 1", "rack 2"}) || len(r.Wires) != 2 {
		t.Errorf("%v %+v, %v", r.Codes(2), r, err)
	}
	if _, err := b.Receiving(b.as(workshop.Winder)); !errors.Is(err, workshop.ErrForbidden) {
		t.Errorf("a winder: %v", err)
	}
}

func TestFind(t *testing.T) {
	b := newBench(t)
	for code, want := range map[string]workshop.Scanned{" s-1 ": {Spool: "S-1"}, "pb-12": {Wire: "PB-12"}, "L2": {Lot: "L2"}} {
		if got, err := b.Find(b.as(workshop.Winder), code); err != nil || got != want {
			t.Errorf("%q: %+v, %v", code, got, err)
		}
	}
	if _, err := b.Find(b.as(workshop.Winder), "S-99"); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("nothing: %v", err)
	}
	if _, err := b.Find(b.as(workshop.Winder), " "); err == nil {
		t.Error("an empty code names something")
	}
}
