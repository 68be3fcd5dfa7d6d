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

func TestBetween(t *testing.T) {
	draw := func(id MovementID, hour int, mass measure.Mass) Movement {
		return Movement{ID: id, Kind: Draw, Mass: -mass, EffectiveAt: at(hour)}
	}
	back := Movement{ID: 5, Kind: Reversal, Mass: 600 * g, EffectiveAt: at(11), Reverses: 3}
	weighed := Movement{ID: 6, Kind: WeighBack, Mass: 100 * g, EffectiveAt: at(14)}
	h := HistoryOf([]Movement{{ID: 1, Kind: Receipt, Mass: 1_000 * g, EffectiveAt: at(0)}, draw(2, 9, 100*g), draw(3, 11, 600*g), draw(4, 12, 50*g), back, weighed}, time.Time{})
	for hour, want := range map[int][2]measure.Mass{8: {850 * g, 1_000 * g}, 9: {850 * g, 900 * g}, 11: {850 * g, 900 * g}, 13: {850 * g, 850 * g}} {
		if least, most := h.Between(Movement{EffectiveAt: at(hour)}, weighed); least != want[0] || most != want[1] {
			t.Errorf("from %d o'clock: %s to %s, want %s to %s", hour, least, most, want[0], want[1])
		}
	}
}

func TestKeeping(t *testing.T) {
	weighed := Movement{ID: 6, Spool: "S-1", Kind: CountDifference, Mass: 3, Cost: 1, EffectiveOn: 20, EffectiveAt: at(14), Source: "scale", Key: "k"}
	late := Movement{Spool: "S-1", Kind: Draw, Mass: -7, Cost: -2, EffectiveOn: 20, EffectiveAt: at(9), PostedAt: at(20), Person: "ines", Source: "batch B1"}
	keep := weighed.Keeping(late)
	if of, ok := keep.Keeps(); !ok || of != 6 || keep.Weighs() || !keep.Follows() || keep.ID != 0 || keep.Key != "" || keep.Mass != 7 || keep.Cost != 2 ||
		keep.EffectiveAt != at(14) || keep.PostedAt != at(20) || keep.Person != "ines" || keep.Kind != CountDifference {
		t.Errorf("got %+v", keep)
	}
	if _, ok := weighed.Keeps(); ok || !weighed.Weighs() || weighed.Follows() || late.Follows() {
		t.Error("a weighing keeps nothing, and a draw follows nothing")
	}
	late.EffectiveAt, late.EffectiveOn = at(15), 21
	if keep := weighed.Keeping(late); keep.EffectiveAt != at(15) || keep.EffectiveOn != 21 {
		t.Errorf("a keeping before what it keeps from moving: %+v", keep)
	}
}

func TestRest(t *testing.T) {
	got := Rest([]Share{{"B1", -4}, {"B2", -6}}, []Share{{"B2", -9}, {"", 2}, {"B1", -4}})
	if want := []Share{{"B2", 3}, {"", -2}}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}
