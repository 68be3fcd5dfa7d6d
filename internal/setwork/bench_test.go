package setwork

import (
	"fmt"
	"testing"
	"time"

	"windingroom/internal/catalog"
	"windingroom/internal/estimate"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
)

// largeShop has 60 cores, 30 wraps of one alloy and 300 recipes.
func largeShop() Facts {
	f := Facts{Alloys: material.NewAlloys(material.BuiltIn()...), Practice: catalog.DefaultPractice()}
	add := func(code string, alloy material.AlloyCode, section material.Section, size measure.Size) {
		f.Wires = append(f.Wires, material.Wire{Code: material.WireCode(code), Alloy: alloy, Form: material.Form{Section: section, Size: size}})
		f.Spools = append(f.Spools, stock.Balance{Spool: stock.Spool{Code: stock.SpoolCode(code), Wire: material.WireCode(code)}, State: stock.Available, Mass: measure.Kilogram, Value: 5000})
	}
	for i := range 60 {
		add(fmt.Sprintf("C%d", i), "music-wire", []material.Section{material.Round, material.Hex}[i%2], measure.Size(16+i)*halfThou)
	}
	for i := range 30 {
		add(fmt.Sprintf("W%d", i), "nickel", material.Round, measure.Size(8+i)*halfThou)
	}
	for i := range 300 {
		c := catalog.Recipe{Code: catalog.RecipeCode(fmt.Sprintf("R%d", i)), Core: material.WireCode(fmt.Sprintf("C%d", i*7%60)), Yield: 0.95, MinutesEach: time.Minute, BallEnd: true}
		if i%10 != 0 {
			c.Wraps = []catalog.Wrap{{Wire: material.WireCode(fmt.Sprintf("W%d", i*11%30))}}
		}
		f.Recipes = append(f.Recipes, c)
	}
	return f
}

// BenchmarkMatch matches six wound strings among 300 recipes and 60 × 30 pairs, facts read anew. The baseline works every
// recipe and pair out again for each string.
func BenchmarkMatch(b *testing.B) {
	f := largeShop()
	q := MatchRequest{Alloy: "nickel", HeldOnly: true}
	for i, pitch := range []estimate.Pitch{"G3", "D3", "A2", "E2", "B1", "F#1"} {
		q.Set.Strings = append(q.Set.Strings, SetString{Recipe: fmt.Sprintf("R%d", 11+7*i), ScaleIn: 25.5, Pitch: pitch})
	}
	match := func(q MatchRequest) {
		room, err := NewRoom(f)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := room.Match(q); err != nil {
			b.Fatal(err)
		}
	}
	begin := time.Now()
	for range 5 {
		for _, s := range q.Set.Strings {
			one := q
			one.Set.Strings = []SetString{s}
			match(one)
		}
	}
	baseline := float64(time.Since(begin)) / 5
	b.ResetTimer()
	for b.Loop() {
		match(q)
	}
	b.ReportMetric(baseline*float64(b.N)/float64(b.Elapsed()), "×_string_by_string")
}
