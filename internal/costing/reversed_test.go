package costing_test

import (
	"errors"
	"testing"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/costing"
	"windingroom/internal/stock"
)

func TestReversedIsToldBeforehand(t *testing.T) {
	day := calendar.NewDate(2026, time.March, 2)
	entries := []costing.Entry{
		{ID: 1, Wire: "W", Kind: stock.Receipt, Mass: 1000, Cost: 300, On: day},
		{ID: 2, Wire: "W", Kind: stock.Draw, Mass: -100, Cost: -30, On: day},
		{ID: 3, Wire: "W", Kind: stock.Draw, Mass: -200, Cost: -60, On: day},
		{ID: 4, Wire: "W", Kind: stock.Reversal, Mass: 100, Cost: 30, On: day, Reverses: 2},
	}
	all, told := costing.NewLedger(), costing.NewLedger()
	told.Reversed(map[stock.MovementID]bool{2: true})
	for _, e := range entries {
		want, err := all.Post(e)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := told.Post(e); err != nil || got != want {
			t.Errorf("got %+v, %v, want %+v", got, err, want)
		}
	}
	untold := costing.Entry{ID: 5, Wire: "W", Kind: stock.Reversal, Mass: 200, Cost: 60, On: day, Reverses: 3}
	if _, err := told.Post(untold); !errors.Is(err, costing.ErrOrder) {
		t.Errorf("a reversal that was not told: %v", err)
	}
}
