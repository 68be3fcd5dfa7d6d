package planning

import (
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/requirements"
	"windingroom/internal/stock"
)

func TestSetupOf(t *testing.T) {
	plain := making(time.Minute, 1, "C0")
	wound := making(time.Minute, 1, "C0", "W0")
	double := making(time.Minute, 1, "C0", "W0", "W1")
	twice := making(time.Minute, 1, "C0", "W0", "W0")
	full := Loaded{Core: Place{"C0", "c"}, Wraps: [3]Place{{"W0", "w"}, {"W1", "v"}}, Scale: scaleOf(0)}
	draws := func(spools ...string) []batch.Draw {
		var list []batch.Draw
		for i := 0; i < len(spools); i += 2 {
			list = append(list, batch.Draw{Wire: material.WireCode(spools[i]), Spool: stock.SpoolCode(spools[i+1]), Strings: 1})
		}
		return list
	}
	for _, c := range []struct {
		name  string
		on    Loaded
		make  requirements.Making
		scale int
		draws []batch.Draw
		min   float64
		after Loaded
	}{
		{"nothing known, plain", Loaded{}, plain, 0, draws("C0", "c"), 8, Loaded{Core: Place{"C0", "c"}, Scale: scaleOf(0)}},
		{"nothing known, two layers", Loaded{}, double, 0, draws("C0", "c", "W0", "w", "W1", "v"), 16, full},
		{"the same again", full, double, 0, draws("C0", "c", "W0", "w", "W1", "v"), 0, full},
		{"plain leaves the wraps", full, plain, 0, draws("C0", "c"), 0, full},
		{"fewer layers leave the rest", full, wound, 1, draws("C0", "c", "W0", "w"), 2,
			Loaded{Core: full.Core, Wraps: full.Wraps, Scale: scaleOf(1)}},
		{"another spool of one wire", full, wound, 0, draws("C0", "c", "W0", "x"), 1.5,
			Loaded{Core: full.Core, Wraps: [3]Place{{"W0", "x"}, {"W1", "v"}}, Scale: scaleOf(0)}},
		{"a further spool inside the batch", full, wound, 0, draws("C0", "c", "C0", "d", "W0", "w"), 1.5,
			Loaded{Core: Place{"C0", "d"}, Wraps: full.Wraps, Scale: scaleOf(0)}},
		{"another spool and two further", full, plain, 0, draws("C0", "d", "C0", "e", "C0", "f"), 4.5,
			Loaded{Core: Place{"C0", "f"}, Wraps: full.Wraps, Scale: scaleOf(0)}},
		{"a new wire brings its spool", full, making(time.Minute, 1, "C1", "W0"), 0, draws("C1", "x", "W0", "w"), 6,
			Loaded{Core: Place{"C1", "x"}, Wraps: full.Wraps, Scale: scaleOf(0)}},
		{"one wire in two layers changes its spool once", full, twice, 0, draws("C0", "c", "W0", "x"), 5.5,
			Loaded{Core: full.Core, Wraps: [3]Place{{"W0", "x"}, {"W0", "x"}}, Scale: scaleOf(0)}},
	} {
		got, after := SetupOf(c.on, c.make, scaleOf(c.scale), c.draws, catalog.DefaultPractice())
		if got.Minutes() != c.min || after != c.after {
			t.Errorf("%s: %v min and %+v, want %v and %+v", c.name, got.Minutes(), after, c.min, c.after)
		}
	}
}
