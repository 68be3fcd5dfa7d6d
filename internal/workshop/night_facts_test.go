package workshop

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/order"
	"windingroom/internal/replenishment"
	"windingroom/internal/requirements"
)

func TestGaps(t *testing.T) {
	wire := func(code material.WireCode) replenishment.Wire {
		return replenishment.Wire{Wire: material.Wire{Code: code, UsableEnd: 10}}
	}
	tests := []struct {
		name    string
		changes []WireChange
		want    []replenishment.Gap
	}{
		{"always there", []WireChange{{"A", 10, 100}, {"A", 20, -50}}, nil},
		{"drawn out, and bought", []WireChange{{"A", 10, 100}, {"A", 20, -95}, {"A", 30, 100}}, []replenishment.Gap{{Wire: "A", From: 21, To: 29}}},
		{"still out", []WireChange{{"A", 10, 100}, {"A", 20, -95}}, []replenishment.Gap{{Wire: "A", From: 21, To: 39}}},
		{"an end that was never more", []WireChange{{"A", 10, 5}}, nil},
		{"less and less", []WireChange{{"A", 10, 100}, {"A", 20, -95}, {"A", 25, -5}, {"A", 30, 50}}, []replenishment.Gap{{Wire: "A", From: 21, To: 29}}},
		{"bought the next day", []WireChange{{"A", 10, 100}, {"A", 20, -95}, {"A", 21, 100}}, nil},
		{"drawn out yesterday", []WireChange{{"A", 10, 100}, {"A", 39, -95}}, nil},
		{"two wires", []WireChange{{"A", 10, 100}, {"A", 20, -95}, {"B", 15, 100}}, []replenishment.Gap{{Wire: "A", From: 21, To: 39}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if diff := cmp.Diff(tt.want, gaps(tt.changes, []replenishment.Wire{wire("A"), wire("B")}, 40)); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestOnPlannedDays(t *testing.T) {
	demands := []requirements.Demand{{Order: "O-1", Line: 1, Position: 1, DueOn: 50, Strings: 6}, {Order: "O-2", Line: 1, Position: 1, DueOn: 60, Strings: 4}}
	serve := func(date calendar.Date, n int, code order.Code) batch.Batch {
		return batch.Batch{Date: date, Serves: []batch.Serve{{Order: code, Line: 1, Position: 1, Strings: n}}}
	}
	at := func(i int, on calendar.Date, n int) requirements.Demand {
		d := demands[i]
		d.DueOn, d.Strings = on, n
		return d
	}
	tests := []struct {
		name     string
		proposed []batch.Batch
		want     []requirements.Demand
	}{
		{"nothing proposed", nil, demands},
		{"a part is proposed", []batch.Batch{serve(41, 2, "O-1")}, []requirements.Demand{at(0, 41, 2), at(0, 50, 4), at(1, 60, 4)}},
		{"on two days", []batch.Batch{serve(41, 2, "O-1"), serve(42, 4, "O-1")}, []requirements.Demand{at(0, 41, 2), at(0, 42, 4), at(1, 60, 4)}},
		{"more than is wanted", []batch.Batch{serve(41, 9, "O-2")}, []requirements.Demand{at(1, 41, 4), at(0, 50, 6)}},
		{"of a day that is past", []batch.Batch{serve(39, 2, "O-1")}, demands},
		{"after its due day", []batch.Batch{serve(70, 2, "O-1")}, []requirements.Demand{at(0, 50, 2), at(0, 50, 4), at(1, 60, 4)}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if diff := cmp.Diff(tt.want, onPlannedDays(demands, tt.proposed, 40)); diff != "" {
				t.Error(diff)
			}
		})
	}
}
