package workshop

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"time"

	"windingroom/internal/catalog"
	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/requirements"
)

// standards knows what strings should take. Those of an open month are computed from recipes as they are stated, at suppliers' list prices and
// the present rate of labour; a closed month keeps those it was closed with, so that its sheets stay as they were.
type standards struct {
	PerHour money.Minor      `json:"labour_per_hour_minor"`
	Kept    []stringStandard `json:"strings"` // those used so far, by recipe and scale

	room   *standardRoom // nil where they are those that were kept
	unkept bool          // the month was closed before standards were kept
}

// stringStandard is what one string of a recipe at a scale length should take. Its form is part of the hash of a closed month.
type stringStandard struct {
	Recipe catalog.RecipeCode `json:"recipe"`
	Scale  measure.Size       `json:"scale_nm"`
	Yield  float64            `json:"yield"`
	Time   time.Duration      `json:"time_ns"`
	Wires  []struct {
		Wire  material.WireCode `json:"wire"`
		Each  measure.MassEach  `json:"each_ng"`
		PerKg money.Minor       `json:"per_kg_minor"`
	} `json:"wires"`
}

func (s stringStandard) compare(recipe catalog.RecipeCode, scale measure.Size) int {
	return cmp.Or(cmp.Compare(s.Recipe, recipe), cmp.Compare(s.Scale, scale))
}

// standardsOf gives the standards of a month: those kept where it is closed.
func standardsOf(closed Period, room *standardRoom) (*standards, error) {
	if closed.Month != 0 {
		if kept, err := figuresKept(closed); err != nil || kept.Standards != nil {
			return kept.Standards, err
		}
	}
	return &standards{PerHour: room.perHour, Kept: []stringStandard{}, room: room, unkept: closed.Month != 0}, nil
}

// of gives the standard of a job and the yield that its recipe states.
func (s *standards) of(j *job) (costing.Standard, float64, error) {
	at, found := slices.BinarySearchFunc(s.Kept, j, func(k stringStandard, j *job) int { return k.compare(j.recipe, j.scale) })
	if !found {
		if s.room == nil {
			return costing.Standard{}, 0, fmt.Errorf("batch %s: the closed month has no standard of recipe %s", j.Code, j.recipe)
		}
		fresh, err := s.room.of(j.recipe, j.scale)
		if err != nil {
			return costing.Standard{}, 0, fmt.Errorf("batch %s: %w", j.Code, err)
		}
		s.Kept = slices.Insert(s.Kept, at, fresh)
	}
	k := s.Kept[at]
	out := costing.Standard{Setup: j.setup, Time: k.Time, PerHour: s.PerHour}
	for _, w := range k.Wires {
		out.Wires = append(out.Wires, costing.StandardWire{Wire: w.Wire, Each: w.Each, PerKg: w.PerKg})
	}
	return out, k.Yield, nil
}

// standardRoom is what present standards are computed from.
type standardRoom struct {
	bench   *requirements.Bench
	recipes map[catalog.RecipeCode]catalog.Recipe
	prices  map[material.WireCode]money.Minor
	perHour money.Minor
}

func newStandardRoom(r Reader) (*standardRoom, error) {
	b, err := computedBench(r)
	if err != nil {
		return nil, err
	}
	room := &standardRoom{bench: b.Bench, recipes: map[catalog.RecipeCode]catalog.Recipe{}, prices: map[material.WireCode]money.Minor{}, perHour: b.practice.LabourPerHour}
	for _, w := range b.wires {
		room.prices[w.Code] = w.PricePerKg
	}
	for _, c := range b.recipes {
		room.recipes[c.Code] = c
	}
	return room, nil
}

func (r *standardRoom) of(recipe catalog.RecipeCode, scale measure.Size) (out stringStandard, err error) {
	uses, err := r.bench.Uses(recipe, scale)
	if err != nil {
		return out, err
	}
	out = stringStandard{Recipe: recipe, Scale: scale, Yield: r.recipes[recipe].Yield, Time: r.recipes[recipe].MinutesEach}
	each := map[material.WireCode]measure.MassEach{}
	for _, u := range uses {
		each[u.Wire] += u.Each
	}
	for _, wire := range slices.Sorted(maps.Keys(each)) {
		out.Wires = append(out.Wires, struct {
			Wire  material.WireCode `json:"wire"`
			Each  measure.MassEach  `json:"each_ng"`
			PerKg money.Minor       `json:"per_kg_minor"`
		}{wire, each[wire], r.prices[wire]})
	}
	return out, nil
}
