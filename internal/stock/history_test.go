package stock

import (
	"slices"
	"testing"
	"time"

	"windingroom/internal/measure"
)

func at(hour int) time.Time { return time.Date(2026, time.March, 2, hour, 0, 0, 0, time.UTC) }

func TestHistory(t *testing.T) {
	receipt := Movement{ID: 1, Kind: Receipt, Mass: 1_000 * g, EffectiveAt: at(0)}
	drew := func(id MovementID, hour int, source string, mass measure.Mass) Movement {
		return Movement{ID: id, Kind: Draw, Mass: -mass, EffectiveAt: at(hour), Source: source}
	}
	back := func(id MovementID, hour int, of MovementID, mass measure.Mass) Movement {
		return Movement{ID: id, Kind: Reversal, Mass: mass, EffectiveAt: at(hour), Reverses: of}
	}
	weighed := Movement{ID: 10, Kind: WeighBack, Mass: -1, EffectiveAt: at(10)}
	counted := Movement{ID: 11, Kind: CountDifference, Mass: 0, EffectiveAt: at(11)}
	tests := []struct {
		name   string
		moves  []Movement
		until  time.Time
		mass   measure.Mass
		last   MovementID
		drawn  []Drawn
		length int
	}{
		{name: "nothing"},
		{name: "received only", moves: []Movement{receipt}, mass: 1_000 * g, length: 1},
		{name: "by batch, in the order in which they first drew",
			moves: []Movement{drew(4, 9, "batch B1", 5*g), drew(3, 9, "batch B2", 3*g), receipt, drew(5, 9, "batch B2", 1*g)}, mass: 991 * g,
			drawn: []Drawn{{Source: "B2", Mass: 4 * g}, {Source: "B1", Mass: 5 * g}}, length: 4},
		{name: "by no batch", moves: []Movement{receipt, {ID: 2, Kind: Scrap, Mass: -7, EffectiveAt: at(1)}}, mass: 1_000*g - 7,
			drawn: []Drawn{{Mass: 7}}, length: 2},
		{name: "since the weighing only", moves: []Movement{receipt, drew(2, 9, "batch B1", 5*g), weighed, drew(12, 12, "batch B2", 2*g)},
			mass: 993*g - 1, last: 10, drawn: []Drawn{{Source: "B2", Mass: 2 * g}}, length: 4},
		{name: "a count weighs too", moves: []Movement{receipt, weighed, counted, drew(2, 10, "batch B1", 5*g)}, mass: 995*g - 1, last: 11, length: 4},
		{name: "a weighing taken back does not", moves: []Movement{receipt, drew(2, 9, "batch B1", 5*g), weighed, back(12, 12, 10, 1)},
			mass: 995 * g, drawn: []Drawn{{Source: "B1", Mass: 5 * g}}, length: 4},
		{name: "what was put back is deducted", moves: []Movement{receipt, drew(2, 9, "batch B1", 5*g), drew(3, 9, "batch B2", 2*g), back(4, 10, 2, 5*g)},
			mass: 998 * g, drawn: []Drawn{{Source: "B2", Mass: 2 * g}}, length: 4},
		{name: "a draw before the weighing, put back after it", moves: []Movement{receipt, drew(2, 9, "batch B1", 5*g), weighed, back(12, 12, 2, 5*g)},
			mass: 1_000*g - 1, last: 10, length: 4},
		{name: "as of an instant, which counts", moves: []Movement{receipt, drew(2, 9, "batch B1", 5*g), weighed, counted}, until: at(10), mass: 995*g - 1,
			last: 10, length: 3},
		{name: "before everything", moves: []Movement{receipt}, until: at(0).Add(-1)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			h := HistoryOf(tt.moves, tt.until)
			last, ok := h.Weighed()
			if len(h) != tt.length || h.Mass() != tt.mass || last.ID != tt.last || ok != (tt.last != 0) {
				t.Errorf("%d movements of %s, weighed last by %d, want %d of %s and %d", len(h), h.Mass(), last.ID, tt.length, tt.mass, tt.last)
			}
			if got := h.Drawn(); !slices.Equal(got, tt.drawn) {
				t.Errorf("drawn %v, want %v", got, tt.drawn)
			}
		})
	}
}
