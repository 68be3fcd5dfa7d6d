package planning

import (
	"slices"
	"testing"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/requirements"
)

// tenEach makes every string in ten minutes; recipes that begin with W are wound.
type tenEach struct{}

func (tenEach) Making(code catalog.RecipeCode, _ measure.Size) (requirements.Making, error) {
	m := requirements.Making{Each: 10 * time.Minute, Yield: 1}
	if code[0] == 'W' {
		m.Wraps = []material.WireCode{"B"}
	}
	return m, nil
}

func TestOverfull(t *testing.T) {
	day := calendar.NewDate(2026, 3, 2)
	want := func(code order.Code, due int, recipe catalog.RecipeCode, strings int) requirements.Demand {
		return requirements.Demand{Order: code, DueOn: day + calendar.Date(due), Line: 1, Position: 1, Recipe: recipe, Strings: strings}
	}
	for _, tt := range []struct {
		name    string
		each    Room // a day
		demands []requirements.Demand
		late    []order.Code
	}{
		{"nothing is wanted", Room{}, nil, nil},
		{"to the minute", Room{Both: time.Hour}, []requirements.Demand{want("A", 0, "P", 6), want("B", 1, "W", 6)}, nil},
		{"the one due last is late", Room{Both: time.Hour}, []requirements.Demand{want("B", 1, "P", 7), want("A", 1, "W", 6)}, []order.Code{"B"}},
		{"a smaller one after it fits", Room{Both: time.Hour}, []requirements.Demand{want("A", 0, "P", 7), want("B", 0, "P", 6)}, []order.Code{"A"}},
		{"no machine for wound ones", Room{Plain: time.Hour}, []requirements.Demand{want("A", 3, "W", 1), want("B", 0, "P", 6)}, []order.Code{"A"}},
		{"no machine for plain ones", Room{Wound: time.Hour}, []requirements.Demand{want("A", 3, "P", 1), want("B", 0, "W", 6)}, []order.Code{"A"}},
		{"machines for either help both", Room{Plain: time.Hour, Wound: time.Hour, Both: time.Hour}, []requirements.Demand{want("A", 0, "P", 9), want("A", 0, "W", 9)}, nil},
		{"but once", Room{Plain: time.Hour, Wound: time.Hour, Both: time.Hour}, []requirements.Demand{want("A", 0, "P", 10), want("A", 0, "W", 9)}, []order.Code{"A"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			late, err := Overfull(tt.demands, tenEach{}, func(d calendar.Date) Room {
				n := time.Duration(d - day + 1)
				return Room{Plain: n * tt.each.Plain, Wound: n * tt.each.Wound, Both: n * tt.each.Both}
			})
			if err != nil || !slices.Equal(late, tt.late) {
				t.Errorf("late %v, %v; want %v", late, err, tt.late)
			}
		})
	}
}
