package intake_test

import (
	"slices"
	"testing"
)

func TestMistakesOfReference(t *testing.T) {
	checkMistakes(t, []mistake{
		{"alloy", "wires.csv", "MW-R-10,music-wire", "MW-R-10,music-wires",
			[]string{"wires.csv:2:alloy: alloy music-wires is unknown: it is neither in alloys.csv nor in the shop"}},
		{"supplier", "wires.csv", "1.5,north", "1.5,south",
			[]string{"wires.csv:2:supplier: supplier south is unknown: it is neither in suppliers.csv nor in the shop"}},
		{"wire of a spool", "spools.csv", "S1,MW-R-10", "S1,MW-R-11",
			[]string{"spools.csv:2:wire: wire MW-R-11 is unknown: it is neither in wires.csv nor in the shop"}},
		{"core", "recipes.csv", "P-10,10,MW-R-10", "P-10,10,MW-R-11",
			[]string{"recipes.csv:2:core: wire MW-R-11 is unknown: it is neither in wires.csv nor in the shop"}},
		{"wrap", "recipes.csv", "PB-R-8,SS-F-24", "PB-R-8,SS-F-25",
			[]string{"recipes.csv:4:wrap_2: wire SS-F-25 is unknown: it is neither in wires.csv nor in the shop"}},
		{"recipe of a set", "sets.csv", "duo,1,P-10", "duo,1,P-11",
			[]string{"sets.csv:2:recipe: recipe P-11 is unknown: it is neither in recipes.csv nor in the shop"}},
		{"set of an order", "orders.csv", "School,duo", "School,trio",
			[]string{"orders.csv:5:set: set trio is unknown: it is neither in sets.csv nor in the shop"}},
		{"recipe of an order", "orders.csv", "2,1,P-10", "2,1,P-11",
			[]string{"orders.csv:3:recipe: recipe P-11 is unknown: it is neither in recipes.csv nor in the shop"}},
		{"wire of usage", "usage.csv", "PB-R-8", "PB-R-9",
			[]string{"usage.csv:4:wire: wire PB-R-9 is unknown: it is neither in wires.csv nor in the shop"}},
		{"unknown in a row that is wrong anyway", "spools.csv", "S1,MW-R-10,L-77,2026-02-02", "S1,MW-R-11,L-77,yesterday",
			[]string{
				`spools.csv:2:received_on: "yesterday" is not a date such as 2026-03-02`,
				"spools.csv:2:wire: wire MW-R-11 is unknown: it is neither in wires.csv nor in the shop",
			}},
	})
}

func TestBuildsThatCannotBe(t *testing.T) {
	checkMistakes(t, []mistake{
		{"flat core", "recipes.csv", "SF-40,40,MW-H-14,PB-R-8,SS-F-24", "SF-40,40,SS-F-24,PB-R-8,",
			[]string{"recipes.csv:4:core: SS-F-24 is of stainless-430, which is no core alloy; alloys.csv says which are"}},
		{"core of a wrap alloy", "recipes.csv", "P-10,10,MW-R-10", "P-10,8,PB-R-8",
			[]string{"recipes.csv:2:core: PB-R-8 is of phosphor-bronze-8, which is no core alloy; alloys.csv says which are"}},
		{"wrap of a core alloy", "recipes.csv", "MW-H-14,PB-R-8,,,9", "MW-H-14,MW-R-10,,,",
			[]string{"recipes.csv:3:wrap_1: MW-R-10 is of music-wire, which is no wrap alloy; alloys.csv says which are"}},
		{"flat core of a core alloy", "wires.csv", "MW-H-14,music-wire,hex,14,,2.5,north,0.5,48.00,corners", "MW-H-14,music-wire,flat,24,5,2.5,north,0.5,48.00,",
			[]string{
				"recipes.csv:3:core: core.section must be round or hex: a flat wire is no core",
				"recipes.csv:4:core: core.section must be round or hex: a flat wire is no core",
			}},
		{"hex wrap", "wires.csv", "phosphor-bronze-8,round,8", "phosphor-bronze-8,hex,8",
			[]string{
				"recipes.csv:3:wrap_1: section must be round or flat: a hex wire is no wrap",
				"recipes.csv:4:wrap_1: section must be round or flat: a hex wire is no wrap",
			}},
		// Over corners 14, so 12.124 across flats and 13.369 by perimeter; 8/√(1 − (8/(π·21.369))²) = 8.0575.
		{"lay closer than touching", "recipes.csv", ",,,9,,", ",,,7.9,,",
			[]string{"recipes.csv:3:lay_1_thou: is closer than touching turns: at least 8.058 thou, or missing for touching"}},
		{"gauge of another string", "recipes.csv", "PB-30,30", "PB-30,35",
			[]string{"recipes.csv:3:gauge_thou: 35 is more than 15 % from the 30.00 that core and wraps give, in thousandths of an inch"}},
		{"gauge of another plain string", "recipes.csv", "P-10,10", "P-10,12",
			[]string{"recipes.csv:2:gauge_thou: 12 is more than 15 % from the 10.00 that core and wraps give, in thousandths of an inch"}},
	})
}

func TestMistakesOfOrders(t *testing.T) {
	const custom = `O-1,2,2026-02-20,2026-03-06,"Low Ferry, Workshop",,2,2,SF-40,24.75,F#2`
	checkMistakes(t, []mistake{
		{"due before ordered", "orders.csv", "2026-02-23,2026-02-23", "2026-02-23,2026-02-22",
			[]string{"orders.csv:5:due_on: 2026-02-22 is before the order came in on 2026-02-23"}},
		{"no customer", "orders.csv", "Hobb Lane School", "",
			[]string{"orders.csv:5:customer: is needed: who ordered"}},
		{"quantity of zero", "orders.csv", "duo,1", "duo,0",
			[]string{"orders.csv:5:quantity: 0 is not a whole number from 1 to 100000"}},
		{"quantity of a half", "orders.csv", "duo,1", "duo,0.5",
			[]string{"orders.csv:5:quantity: 0.5 is not a whole number from 1 to 100000"}},
		{"set and string", "orders.csv", "duo,1,,,,", "duo,1,1,P-10,,",
			[]string{
				"orders.csv:5:position: must be empty where a standing set is named; a custom set leaves set empty",
				"orders.csv:5:recipe: must be empty where a standing set is named; a custom set leaves set empty",
			}},
		{"neither set nor string", "orders.csv", "School,duo", "School,",
			[]string{
				"orders.csv:5:position: is needed: a whole number from 1 to 1000",
				"orders.csv:5:recipe: is needed: a code such as W-12.5",
				"orders.csv:5:scale_in: is needed: inches, such as 25.5",
				"orders.csv:5:pitch: is needed: a pitch such as E4, F#2, Bb1 or hertz",
			}},
		{"rows differ in ordered_on", "orders.csv", custom, `O-1,2,2026-02-21,2026-03-06,"Low Ferry, Workshop",,2,2,SF-40,24.75,F#2`,
			[]string{"orders.csv:4:ordered_on: 2026-02-21 differs from 2026-02-20 on line 2; the rows of one order agree"}},
		{"rows differ in due_on", "orders.csv", custom, `o-1,2,2026-02-20,2026-03-07,"Low Ferry, Workshop",,2,2,SF-40,24.75,F#2`,
			[]string{"orders.csv:4:due_on: 2026-03-07 differs from 2026-03-06 on line 2; the rows of one order agree"}},
		{"rows differ in customer", "orders.csv", custom, `O-1,2,2026-02-20,2026-03-06,Low Ferry,,2,2,SF-40,24.75,F#2`,
			[]string{"orders.csv:4:customer: Low Ferry differs from Low Ferry, Workshop on line 2; the rows of one order agree"}},
		{"rows differ in quantity", "orders.csv", custom, `O-1,2,2026-02-20,2026-03-06,"Low Ferry, Workshop",,3,2,SF-40,24.75,F#2`,
			[]string{"orders.csv:4:quantity: 3 differs from 2 on line 3; the rows of one order line agree"}},
		{"rows differ in set", "orders.csv", custom, `O-1,2,2026-02-20,2026-03-06,"Low Ferry, Workshop",duo,2,,,,`,
			[]string{`orders.csv:4:set: "duo" differs from "" on line 3; the rows of one order line agree`}},
		{"line twice", "orders.csv", custom, `O-1,1,2026-02-20,2026-03-06,"Low Ferry, Workshop",DUO,3,,,,`,
			[]string{"orders.csv:4:line: 1 is already on line 2; a standing set takes one row"}},
		{"position twice", "orders.csv", custom, `O-1,2,2026-02-20,2026-03-06,"Low Ferry, Workshop",,2,1,SF-40,24.75,F#2`,
			[]string{"orders.csv:4:position: 1 is already on line 3"}},
	})
}

func TestEveryBadRowIsTold(t *testing.T) {
	f := shop.
		with(t, "usage.csv", "PB-R-8,40", "PB-R-9,40").
		with(t, "alloys.csv", "8940", "8.94").
		with(t, "orders.csv", "2026-02-23,2026-02-23", "2026-02-23,2026-02-22").
		with(t, "wires.csv", "56.50", "56.505").
		with(t, "wires.csv", "flat,24,5", "flat,24,").
		with(t, "practice.csv", "tail_mm", "tails_mm")
	_, problems := readAll(f, newShop())
	var where []string
	for _, p := range problems {
		where = append(where, p.File+":"+p.Column)
	}
	want := []string{"alloys.csv:density_kg_m3", "wires.csv:price_per_kg", "wires.csv:thickness_thou", "orders.csv:due_on",
		"usage.csv:wire", "practice.csv:setting"}
	if !slices.Equal(where, want) {
		t.Errorf("got %q, want %q", where, want)
	}
}
