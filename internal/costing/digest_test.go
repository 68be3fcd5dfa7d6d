package costing_test

import (
	"testing"
	"time"

	"windingroom/internal/costing"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

func TestDigestTellsRowsApart(t *testing.T) {
	sum := func(rows ...[]string) string {
		var d costing.Digest
		for _, row := range rows {
			d.Row(row[0], row[1:]...)
		}
		return d.Sum()
	}
	a, b := []string{"t", "ab", "c"}, []string{"t", "a", "bc"}
	if sum(a, b) != sum(b, a) {
		t.Error("the order of rows matters")
	}
	for name, other := range map[string]string{"joined": sum(b), "twice": sum(a, a), "none": sum(), "another table": sum([]string{"u", "ab", "c"})} {
		if other == sum(a) {
			t.Errorf("%s has the same hash", name)
		}
	}
	if zeros := "\x00\x00\x00\x00\x00\x00\x00\x00"; sum([]string{"t", "a" + zeros + "b"}) == sum([]string{"t", "a", "b"}) {
		t.Error("a field with what stands between fields reads as two")
	}
	const empty = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855" // SHA-256 of nothing, FIPS 180-4, from memory
	if sum() != empty {
		t.Errorf("nothing hashes to %s", sum())
	}
}

// Every figure is frozen: another one has another hash.
func TestDigestFreezesEveryFigure(t *testing.T) {
	base := func() (costing.RollLine, costing.Posted) {
		return costing.RollLine{Wire: "W", Formula: costing.FIFO}, costing.Posted{Entry: on(1, 1, "receipt", 1, 1)}
	}
	seen := map[string]string{}
	add := func(name string, change func(*costing.RollLine, *costing.Posted)) {
		line, posted := base()
		change(&line, &posted)
		var d costing.Digest
		d.Roll(costing.Roll{From: 1, To: 1, Lines: []costing.RollLine{line}})
		d.Posted(posted)
		if other, twice := seen[d.Sum()]; twice {
			t.Errorf("%s and %s have one hash", name, other)
		}
		seen[d.Sum()] = name
	}
	add("nothing", func(*costing.RollLine, *costing.Posted) {})
	quantities := func(l *costing.RollLine) []*costing.Quantity {
		return []*costing.Quantity{&l.Opening, &l.Received, &l.Drawn, &l.Scrap, &l.Difference, &l.Revalued, &l.Closing}
	}
	for i := range quantities(&costing.RollLine{}) {
		add("a mass of the roll-forward", func(l *costing.RollLine, _ *costing.Posted) { quantities(l)[i].Mass = 1 })
		add("a cost of the roll-forward", func(l *costing.RollLine, _ *costing.Posted) { quantities(l)[i].Cost = 1 })
	}
	add("formula", func(l *costing.RollLine, _ *costing.Posted) { l.Formula = costing.Specific })
	costs := func(p *costing.Posted) []*money.Minor {
		return []*money.Minor{&p.Costs.Specific, &p.Costs.FIFO, &p.Costs.MovingAverage, &p.Revalued.FIFO, &p.Revalued.MovingAverage}
	}
	for i := range costs(&costing.Posted{}) {
		add("a cost of the movement", func(_ *costing.RollLine, p *costing.Posted) { *costs(p)[i] = 1 })
	}
	for name, change := range map[string]func(*costing.Posted){
		"number": func(p *costing.Posted) { p.ID = 2 }, "wire": func(p *costing.Posted) { p.Wire = "V" }, "spool": func(p *costing.Posted) { p.Spool = "S" },
		"lot": func(p *costing.Posted) { p.Lot = "L" }, "kind": func(p *costing.Posted) { p.Kind = "scrap" }, "mass": func(p *costing.Posted) { p.Mass = measure.Gram },
		"day": func(p *costing.Posted) { p.On++ }, "instant": func(p *costing.Posted) { p.At = p.At.Add(time.Microsecond) },
		"reverses": func(p *costing.Posted) { p.Reverses = 9 },
	} {
		add(name, func(_ *costing.RollLine, p *costing.Posted) { change(p) })
	}
}
