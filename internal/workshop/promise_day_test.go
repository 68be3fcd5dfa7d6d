package workshop_test

import (
	"errors"
	"testing"

	"windingroom/internal/promise"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// A draft answers with the day it may have; confirmed it is held to that, or to its due day where that is the later one, and what the
// next is promised counts it.
func TestAConfirmedOrderIsHeldToItsPromise(t *testing.T) {
	w := newWinders(t)
	owner := w.as(workshop.Owner)
	story, err := w.AddOrder(owner, testkit.ScarceOrder("O-1", 0, 4, w.day+9), false)
	if err != nil || story.Promised == nil || story.Promised.On.IsZero() || !story.Order.PromisedOn.IsZero() {
		t.Fatalf("a draft answers %+v, %v", story.Promised, err)
	}
	first := *story.Promised
	if first.On > w.day+1 || first.Holds != w.day+9 {
		t.Errorf("earliest %s, to be held to %s", first.On, first.Holds)
	}
	if story, err = w.ConfirmOrder(owner, "O-1"); err != nil || story.Order.PromisedOn != first.Holds {
		t.Errorf("confirmed it is held to %s, %v; want %s", story.Order.PromisedOn, err, first.Holds)
	}
	if again, err := w.ConfirmOrder(owner, "O-1"); err != nil || again.Order.PromisedOn != first.Holds {
		t.Errorf("confirmed again it is held to %s, %v", again.Order.PromisedOn, err)
	}
	seen, err := w.Order(w.as(workshop.Winder), "O-1")
	if err != nil || seen.Promised == nil || seen.Promised.On != first.On {
		t.Errorf("read again it says %+v, %v", seen.Promised, err)
	}
	w.sound()
}

// An order for more wire than there is has no day and says why; it is taken on all the same, as an order whose wire is to be bought.
func TestAnOrderWithoutWireIsNotPromised(t *testing.T) {
	w := newWinders(t)
	story, err := w.AddOrder(w.as(workshop.Lead), testkit.ScarceOrder("O-1", 0, 4000, w.day+9), true)
	if err != nil {
		t.Fatal(err)
	}
	if a := story.Promised; a == nil || !a.On.IsZero() || a.Decides.What != promise.ByWire || !story.Order.PromisedOn.IsZero() {
		t.Errorf("promised %+v, held to %s", a, story.Order.PromisedOn)
	}
	day, err := w.PromiseOf(w.as(workshop.Lead), "O-1")
	if err != nil || !day.On.IsZero() || day.Why() == "" {
		t.Errorf("asked again: %+v, %v", day, err)
	}
}

func TestPromisesAreRefused(t *testing.T) {
	w := newWinders(t)
	owner := w.as(workshop.Owner)
	if _, err := w.PromiseOf(owner, "none"); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("of no order: %v", err)
	}
	w.add("O-1", 0, 2, w.day+1)
	if _, err := w.CancelOrder(owner, "O-1", ""); err != nil {
		t.Fatal(err)
	}
	if _, err := w.HoldPromise(owner, "O-1"); !errors.Is(err, workshop.ErrStage) {
		t.Errorf("of a cancelled order: %v", err)
	}
	if _, err := w.HoldPromise(w.as(workshop.Winder), "O-1"); err == nil {
		t.Error("a winder promised")
	}
	day, err := w.PromiseFor(w.as(workshop.Winder), testkit.ScarceOrder("X-1", 1, 1, w.day+3))
	if err != nil || day.On.IsZero() {
		t.Errorf("spelled out: %+v, %v", day, err)
	}
	if _, err := w.Order(owner, "X-1"); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("it was kept: %v", err)
	}
}
