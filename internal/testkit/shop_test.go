package testkit_test

import (
	"errors"
	"testing"

	"windingroom/internal/calendar"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

func TestShop(t *testing.T) {
	shop := testkit.Shop(t)
	if got, want := shop.Today(), testkit.Day(t); got != want {
		t.Errorf("today is %s, want %s", got, want)
	}
	if err := shop.Store.Ready(t.Context()); err != nil {
		t.Errorf("a fresh shop is not ready: %v", err)
	}
	list, err := shop.Stock(testkit.As(t.Context(), workshop.Winder), calendar.Date(0))
	if err != nil || len(list.Spools) != 0 {
		t.Errorf("an empty shop holds %d spools, %v", len(list.Spools), err)
	}
}

func TestScenarioShop(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	list, err := shop.Stock(testkit.As(t.Context(), workshop.Winder), calendar.Date(0))
	if err != nil || len(list.Spools) == 0 {
		t.Fatalf("the scenario holds %d spools, %v", len(list.Spools), err)
	}
	broken, err := shop.Verify(testkit.As(t.Context(), workshop.Winder))
	if err != nil || len(broken) > 0 {
		t.Errorf("the scenario is broken: %v, %v", broken, err)
	}
}

func TestTwoShopsShareNothing(t *testing.T) {
	full, empty := testkit.ScenarioShop(t), testkit.Shop(t)
	if list, err := full.Stock(testkit.As(t.Context(), workshop.Owner), 0); err != nil || len(list.Spools) == 0 {
		t.Fatal("the first shop is empty", err)
	}
	if list, err := empty.Stock(testkit.As(t.Context(), workshop.Owner), 0); err != nil || len(list.Spools) != 0 {
		t.Errorf("the second shop holds %d spools of the first, %v", len(list.Spools), err)
	}
}

func TestTokenCarriesItsRole(t *testing.T) {
	shop := testkit.Shop(t)
	for _, role := range workshop.Roles() {
		p, err := shop.Bearer(t.Context(), testkit.Token(t, shop, role))
		if err != nil || p.Role != role {
			t.Errorf("the token of a %s stands for %v, %v", role, p, err)
		}
	}
	if _, err := shop.Bearer(t.Context(), "wr_unknown"); !errors.Is(err, workshop.ErrUnknownPerson) {
		t.Errorf("an unknown token gives %v", err)
	}
}
