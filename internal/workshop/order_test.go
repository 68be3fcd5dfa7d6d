package workshop_test

import (
	"errors"
	"testing"

	"windingroom/internal/intake"
	"windingroom/internal/measure"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

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
	story, err := w.ChangeOrder(w.as(workshop.Lead), "O-1", testkit.ScarceOrder("O-1", 30, 1, w.day+5))
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
	other := testkit.ScarceOrder("O-1", 6, 1, w.day+1)
	other.Lines[0].Strings[0].Scale = "24"
	for name, f := range map[string]intake.OrderForm{"fewer": testkit.ScarceOrder("O-1", 5, 1, w.day), "none": testkit.ScarceOrder("O-1", 0, 1, w.day), "another scale": other} {
		if _, err := w.ChangeOrder(w.as(workshop.Lead), "O-1", f); !errors.Is(err, workshop.ErrStage) {
			t.Errorf("%s: %v", name, err)
		}
	}
	more, err := w.ChangeOrder(w.as(workshop.Lead), "O-1", testkit.ScarceOrder("O-1", 9, 1, w.day))
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
