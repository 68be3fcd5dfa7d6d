package intake_test

import (
	"slices"
	"testing"
)

// mistake spoils one place of the shop's folder; want is every problem line that must come of it.
type mistake struct {
	name     string
	file     string
	old, new string
	want     []string
}

func checkMistakes(t *testing.T, mistakes []mistake) {
	t.Helper()
	for _, m := range mistakes {
		t.Run(m.name, func(t *testing.T) {
			facts, problems := readAll(shop.with(t, m.file, m.old, m.new), newShop())
			if got := texts(problems); !slices.Equal(got, m.want) {
				t.Errorf("got\n%q\nwant\n%q", got, m.want)
			}
			if len(m.want) > 0 && (facts.Changes() != 0 || facts.Practice != nil || facts.Wires != nil) {
				t.Error("facts in spite of problems")
			}
		})
	}
}

func TestMistakesOfText(t *testing.T) {
	checkMistakes(t, []mistake{
		{"empty file", "machines.csv", "", "",
			[]string{"machines.csv:1:machine: the header line is missing; it should be machine,winds,longest_mm,minutes_per_day"}},
		{"blank lines only", "machines.csv", "", "\n\n",
			[]string{"machines.csv:1:machine: the header line is missing; it should be machine,winds,longest_mm,minutes_per_day"}},
		{"column missing", "machines.csv", "longest_mm,", "",
			[]string{"machines.csv:1:longest_mm: column is missing"}},
		{"header after blank lines", "machines.csv", "machine,winds,longest_mm", "\n\nmachine,winds,longest",
			[]string{
				"machines.csv:3:longest: is not a column of machines.csv; known are machine, winds, longest_mm, minutes_per_day, shifts",
				"machines.csv:3:longest_mm: column is missing",
			}},
		{"unknown column", "machines.csv", "minutes_per_day\nbench,both,950,450", "minutes_per_day,colour\nbench,both,950,450,red",
			[]string{"machines.csv:1:colour: is not a column of machines.csv; known are machine, winds, longest_mm, minutes_per_day, shifts"}},
		{"column without a name", "machines.csv", "minutes_per_day\nbench,both,950,450", "minutes_per_day,\nbench,both,950,450,",
			[]string{"machines.csv:1:column 5: has no name"}},
		{"column twice", "machines.csv", "minutes_per_day\nbench,both,950,450", "minutes_per_day,winds\nbench,both,950,450,both",
			[]string{"machines.csv:1:winds: column appears twice"}},
		{"semicolons", "machines.csv", "", "machine;winds;longest_mm;minutes_per_day\nbench;both;950;450\n",
			[]string{"machines.csv:1:machine: columns must be separated by commas, and numbers have a decimal point"}},
		{"Latin-1 in a field", "suppliers.csv", "North Ferry", "N\xf6rth Ferry",
			[]string{"suppliers.csv:2:name: has the byte 0xf6, which is not UTF-8; save the file as UTF-8 (CSV UTF-8)"}},
		{"Latin-1 in the header", "machines.csv", "winds", "winds\xe9",
			[]string{"machines.csv:1:machine: the header has the byte 0xe9, which is not UTF-8; save the file as UTF-8 (CSV UTF-8)"}},
		{"byte of zero", "suppliers.csv", "North Ferry", "North\x00Ferry",
			[]string{"suppliers.csv:2:name: has a byte of zero; save the file as UTF-8 (CSV UTF-8), not as UTF-16"}},
		{"control character", "suppliers.csv", "North Ferry", "North\x07Ferry",
			[]string{"suppliers.csv:2:name: has the control character 0x07; take it out"}},
		{"UTF-16 little endian", "machines.csv", "", "\xff\xfem\x00a\x00",
			[]string{"machines.csv:1:machine: the file is UTF-16; save it as UTF-8 (CSV UTF-8)"}},
		{"UTF-16 big endian", "machines.csv", "", "\xfe\xff\x00m\x00a",
			[]string{"machines.csv:1:machine: the file is UTF-16; save it as UTF-8 (CSV UTF-8)"}},
		{"UTF-16 without a mark", "machines.csv", "", "m\x00a\x00c\x00",
			[]string{"machines.csv:1:machine: the header has a byte of zero; save the file as UTF-8 (CSV UTF-8), not as UTF-16"}},
		{"carriage returns alone", "machines.csv", "", "machine,winds,longest_mm,minutes_per_day\rbench,both,950,450\r",
			[]string{"machines.csv:1:machine: the header has a carriage return alone; save the file with line feeds (LF or CRLF) at the ends of lines"}},
		{"field missing", "machines.csv", "bench,both,950,450", "bench,both,950",
			[]string{"machines.csv:2:minutes_per_day: the row has 3 fields where the header has 4"}},
		{"field too many", "machines.csv", "bench,both,950,450", "bench,both,950,450,x",
			[]string{"machines.csv:2:minutes_per_day: the row has 5 fields where the header has 4; put a field with commas in quotes"}},
		{"decimal comma", "machines.csv", "950", `"950,5"`,
			[]string{`machines.csv:2:longest_mm: "950,5" is not a plain decimal number such as 13.5`}},
		{"quote inside a field", "suppliers.csv", "North Ferry", `North "Ferry"`,
			[]string{"suppliers.csv:2:name: has a quote inside; put the whole field in quotes and double each quote in it"}},
		{"quote before the end of a field", "suppliers.csv", "North Ferry Wire", `"North" Ferry Wire`,
			[]string{"suppliers.csv:2:name: has a quote that is not closed, or not doubled inside the field"}},
		{"quote never closed on the last line", "suppliers.csv", "North Ferry", `"North Ferry`,
			[]string{"suppliers.csv:2:name: has a quote that is not closed, or not doubled inside the field"}},
		{"quote never closed", "spools.csv", "rack A1", `"rack A1`,
			[]string{"spools.csv:2:location: has a quote that is not closed by line 3, or not doubled inside the field"}},
		{"codes in swallowed lines are not called unknown", "wires.csv", "music-wire,round", `"music-wire,round`,
			[]string{"wires.csv:2:alloy: has a quote that is not closed by line 5, or not doubled inside the field"}},
		{"codes of bad rows are not called unknown", "wires.csv", ",north,0.5,56.50,", "",
			[]string{"wires.csv:2:supplier: the row has 6 fields where the header has 10"}},
		{"lines inside quotes are counted", "machines.csv", "bench,both", "\"be\n\nnch\",both",
			[]string{`machines.csv:2:machine: "be\n\nnch" has '\n'; a code is made of the letters a to z, digits, . - and _`}},
		{"line after a quoted line end", "suppliers.csv", "north,North Ferry Wire,21,4.5,150.00,18.00",
			"north,\"North\nFerry\",21,4.5,150.00,18.00\nsouth,South,x,1,1.00,1.00",
			[]string{`suppliers.csv:4:lead_days: "x" is not a plain decimal number such as 13.5`}},
		{"line after blank lines and CRLF", "machines.csv", "\nbench", "\r\n\r\n\r\n,,,\r\n\r\nbench 1",
			[]string{`machines.csv:6:machine: "bench 1" has ' '; a code is made of the letters a to z, digits, . - and _`}},
	})
}

func TestMistakesOfFields(t *testing.T) {
	checkMistakes(t, []mistake{
		{"code missing", "machines.csv", "bench,", ",",
			[]string{"machines.csv:2:machine: is needed: a code such as W-12.5"}},
		{"code too long", "machines.csv", "bench,", "aaaaaaaaaabbbbbbbbbbaaaaaaaaaabbbbbbbbbbaaaaaaaaaabbbbbbbbbbaaaaa,",
			[]string{"machines.csv:2:machine: is 65 characters long; a code has at most 64"}},
		{"code twice without case", "wires.csv", "SS-F-24,", "mw-r-10,round,round,1,,1,,,,\nSS-F-24,",
			[]string{
				"wires.csv:5:wire: wire mw-r-10 is already on line 2",
			}},
		{"alloy twice", "alloys.csv", "mill sheet\n", "mill sheet\nTrial-Alloy,,8900,no,no,yes,\n",
			[]string{"alloys.csv:3:alloy: alloy Trial-Alloy is already on line 2"}},
		{"supplier twice", "suppliers.csv", "18.00\n", "18.00\nNORTH,,1,1,0,0\n",
			[]string{"suppliers.csv:3:supplier: supplier NORTH is already on line 2"}},
		{"spool twice", "spools.csv", "S2,", "s1,",
			[]string{"spools.csv:3:spool: spool s1 is already on line 2"}},
		{"recipe twice", "recipes.csv", "SF-40,40", "p-10,40",
			[]string{
				"recipes.csv:4:recipe: recipe p-10 is already on line 2",
				"orders.csv:4:recipe: recipe SF-40 is unknown: it is neither in recipes.csv nor in the shop",
			}},
		{"machine twice", "machines.csv", "450\n", "450\nBench,plain,950,450\n",
			[]string{"machines.csv:3:machine: machine Bench is already on line 2"}},
		{"no word for yes or no", "recipes.csv", "no,0.95", ",0.95",
			[]string{"recipes.csv:4:ball_end: is needed: yes or no"}},
		{"no word for the section", "wires.csv", "music-wire,round", "music-wire,",
			[]string{"wires.csv:2:section: is needed: one of round, hex, flat"}},
		{"density in g/cm3", "alloys.csv", "8940", "8.94",
			[]string{"alloys.csv:2:density_kg_m3: 8.94 is not a number from 500 to 25000"}},
		{"magnetism", "alloys.csv", "8940,no", "8940,maybe",
			[]string{`alloys.csv:2:ferromagnetic: "maybe" is not one of strong, weak, varies, no`}},
		{"nickel, perhaps", "alloys.csv", "source\ntrial-alloy,\"Trial, first melt\",8940,no,no,yes,mill sheet", "source,nickel,tarnishes\ntrial-alloy,Trial,8940,no,no,yes,mill sheet,perhaps,never",
			[]string{`alloys.csv:2:nickel: "perhaps" is neither yes nor no`, `alloys.csv:2:tarnishes: "never" is not one of sooner, later`}},
		{"neither yes nor no", "alloys.csv", "no,no,yes", "no,no,perhaps",
			[]string{`alloys.csv:2:wrap: "perhaps" is neither yes nor no`}},
		{"section", "wires.csv", "music-wire,round", "music-wire,square",
			[]string{`wires.csv:2:section: "square" is not one of round, hex, flat`}},
		{"size of zero", "wires.csv", "round,10", "round,0",
			[]string{"wires.csv:2:size_thou: 0 must be more than 0 and at most 393.7 (10 mm), in thousandths of an inch"}},
		{"size in inches", "wires.csv", "round,10", "round,0.010",
			[]string{"wires.csv:2:size_thou: is finer than any wire: at least 0.3937 thou (0.01 mm)"}},
		{"size too large", "wires.csv", "round,10", "round,394",
			[]string{"wires.csv:2:size_thou: 394 must be more than 0 and at most 393.7 (10 mm), in thousandths of an inch"}},
		{"size not a number", "wires.csv", "round,10", "round,1e1",
			[]string{`wires.csv:2:size_thou: "1e1" is not a plain decimal number such as 13.5`}},
		{"flat without thickness", "wires.csv", "flat,24,5", "flat,24,",
			[]string{"wires.csv:5:thickness_thou: is needed for a flat wire"}},
		{"round with thickness", "wires.csv", "round,10,", "round,10,3",
			[]string{"wires.csv:2:thickness_thou: belongs to a flat wire only"}},
		{"round over corners", "wires.csv", "56.50,", "56.50,corners",
			[]string{"wires.csv:2:across: corners belongs to a hex wire only"}},
		{"across something else", "wires.csv", "48.00,corners", "48.00,points",
			[]string{`wires.csv:3:across: "points" is not one of flats, corners`}},
		{"usable end below zero", "wires.csv", "1.5,north", "-1.5,north",
			[]string{"wires.csv:2:usable_end_g: -1.5 must not be negative, in grams"}},
		{"pack of a bought wire missing", "wires.csv", "north,0.5,56.50", "north,,56.50",
			[]string{"wires.csv:2:pack_kg: is needed: kilograms"}},
		{"price of a bought wire missing", "wires.csv", "north,0.5,56.50", "north,0.5,",
			[]string{"wires.csv:2:price_per_kg: is needed: an amount such as 12.50"}},
		{"price with too many decimals", "wires.csv", "56.50", "56.505",
			[]string{`wires.csv:2:price_per_kg: "56.505" has more than the 2 decimals of EUR`}},
		{"price below zero", "wires.csv", "56.50", "-56.50",
			[]string{"wires.csv:2:price_per_kg: -56.50 must not be negative"}},
		{"lead below zero", "suppliers.csv", "21,4.5", "-21,4.5",
			[]string{"suppliers.csv:2:lead_days: -21 is not a number from 0 to 3650"}},
		{"gross below tare", "spools.csv", "680.5", "120.5",
			[]string{"spools.csv:2:gross_g: 120.5 is below the tare of 180 g; gross is wire and spool together"}},
		{"gross is tare", "spools.csv", "680.5", "180.0",
			[]string{"spools.csv:2:gross_g: 180 is the tare, so there is no wire; gross is wire and spool together"}},
		{"tare below zero", "spools.csv", "680.5,180", "680.5,-180",
			[]string{"spools.csv:2:tare_g: -180 must not be negative, in grams"}},
		{"mass in milligrams", "spools.csv", "680.5,180", "1000000.001,180",
			[]string{"spools.csv:2:gross_g: 1000000.001 must be at most 1000 kg, in grams"}},
		{"cost missing", "spools.csv", "180,25.30", "180,",
			[]string{"spools.csv:2:cost: is needed: an amount such as 12.50"}},
		{"cost with a sign of currency", "spools.csv", "25.30", "€25.30",
			[]string{`spools.csv:2:cost: "€25.30" is not a plain decimal number such as 13.5`}},
		{"lot missing", "spools.csv", "L-77", " ",
			[]string{"spools.csv:2:lot: is needed: the supplier's lot"}},
		{"date the other way round", "spools.csv", "2026-02-02", "02/02/2026",
			[]string{`spools.csv:2:received_on: "02/02/2026" is not a date such as 2026-03-02`}},
		{"day that does not exist", "spools.csv", "2026-02-02", "2026-02-30",
			[]string{`spools.csv:2:received_on: "2026-02-30" is not a date such as 2026-03-02`}},
		{"gauge of zero", "recipes.csv", "P-10,10", "P-10,0",
			[]string{"recipes.csv:2:gauge_thou: 0 must be more than 0 and at most 393.7 (10 mm), in thousandths of an inch"}},
		{"yield of zero", "recipes.csv", "0.98", "0",
			[]string{"recipes.csv:2:yield: 0 is not a number from 0.01 to 1"}},
		{"yield in percent", "recipes.csv", "0.98", "98",
			[]string{"recipes.csv:2:yield: 98 is not a number from 0.01 to 1"}},
		{"no minutes", "recipes.csv", "0.98,0.35", "0.98,0",
			[]string{"recipes.csv:2:minutes_each: 0 must be more than 0 and at most 1440, in minutes"}},
		{"more than a day each", "recipes.csv", "0.98,0.35", "0.98,1440.5",
			[]string{"recipes.csv:2:minutes_each: 1440.5 must be more than 0 and at most 1440, in minutes"}},
		{"second wrap without a first", "recipes.csv", "PB-R-8,SS-F-24", ",SS-F-24",
			[]string{"recipes.csv:4:wrap_2: is given without wrap_1; wraps are named from the core outwards"}},
		{"lay without a wrap", "recipes.csv", "PB-30,30,MW-H-14,PB-R-8,,,9,,", "PB-30,30,MW-H-14,PB-R-8,,,9,9,",
			[]string{"recipes.csv:3:lay_2_thou: is given without wrap_2"}},
		{"position of zero", "sets.csv", "duo,1", "duo,0",
			[]string{"sets.csv:2:position: 0 is not a whole number from 1 to 1000"}},
		{"position of a half", "sets.csv", "duo,1", "duo,1.5",
			[]string{"sets.csv:2:position: 1.5 is not a whole number from 1 to 1000"}},
		{"position twice", "sets.csv", "duo,2", "DUO,1",
			[]string{"sets.csv:3:position: 1 is already on line 2"}},
		{"scale in millimetres", "sets.csv", "25.5,E4", "648,E4",
			[]string{"sets.csv:2:scale_in: 648 must be from 5 to 60, in inches"}},
		{"pitch", "sets.csv", "25.5,E4", "25.5,H4",
			[]string{`sets.csv:2:pitch: "H4" is not a pitch such as E4, F#2, Bb1 or 82.41 (hertz)`}},
		{"winds", "machines.csv", "both", "all",
			[]string{`machines.csv:2:winds: "all" is not one of plain, wound, both`}},
		{"longest of zero", "machines.csv", "950", "0",
			[]string{"machines.csv:2:longest_mm: 0 must be more than 0 and at most 100000, in millimetres"}},
		{"longer than a day", "machines.csv", "450", "1441",
			[]string{"machines.csv:2:minutes_per_day: 1441 must be from 1 to 1440, in minutes"}},
		{"usage of nothing", "usage.csv", "PB-R-8,40", "PB-R-8,0.0004",
			[]string{"usage.csv:4:mass_g: 0.0004 must be more than 0, in grams"}},
		{"usage without a day", "usage.csv", "2025-11-04", "",
			[]string{"usage.csv:4:used_on: is needed: a date such as 2026-03-02"}},
		{"usage order not a code", "usage.csv", "40,", "40,order 7",
			[]string{`usage.csv:4:order: "order 7" has ' '; a code is made of the letters a to z, digits, . - and _`}},
		{"two faults in one row", "usage.csv", "PB-R-8,40", "PB R 8,-4",
			[]string{
				`usage.csv:4:wire: "PB R 8" has ' '; a code is made of the letters a to z, digits, . - and _`,
				"usage.csv:4:mass_g: -4 must be more than 0, in grams",
			}},
	})
}

func TestMistakesOfPractice(t *testing.T) {
	const known = "ball_end_allowance_mm, tail_mm, head_mm, chuck_waste_mm, wrap_beyond_nut_mm, wrap_waste_turns, change_core_min, " +
		"change_wrap_min, change_length_min, change_spool_min, scale_resolution_g, loss_of_drawn, loss_of_received, completion_confidence, " +
		"caution_breaking_share, refuse_breaking_share, core_share_least, core_share_most, wrap_share_most, added_tension_n, labour_per_hour, margin, " +
		"currency, buying_service, buying_review_days, buying_receiving_days, buying_carrying_rate, buying_line_cost, buying_watch_days, buying_cover_days"
	checkMistakes(t, []mistake{
		{"unknown setting", "practice.csv", "tail_mm", "tail",
			[]string{`practice.csv:3:setting: "tail" is not a setting; known are ` + known}},
		{"setting twice", "practice.csv", "tail_mm,150", "tail_mm,150\nTail_mm,151",
			[]string{"practice.csv:4:setting: tail_mm is already on line 3"}},
		{"setting missing", "practice.csv", "tail_mm,150", ",150",
			[]string{"practice.csv:3:setting: is needed: the name of a setting"}},
		{"value missing", "practice.csv", "tail_mm,150", "tail_mm,",
			[]string{"practice.csv:3:value: is needed: millimetres, from 0 to 1000"}},
		{"length below zero", "practice.csv", "tail_mm,150", "tail_mm,-1",
			[]string{"practice.csv:3:value: -1 must be from 0 to 1000, in millimetres"}},
		{"too sure", "practice.csv", "tail_mm,150", "completion_confidence,1",
			[]string{"practice.csv:3:value: 1 is not a number from 0.5 to 0.999999"}},
		{"too unsure", "practice.csv", "tail_mm,150", "completion_confidence,0.49",
			[]string{"practice.csv:3:value: 0.49 is not a number from 0.5 to 0.999999"}},
		{"setup below zero", "practice.csv", "change_spool_min,1.5", "change_spool_min,-1.5",
			[]string{"practice.csv:5:value: -1.5 must be from 0 to 1440, in minutes"}},
		{"scale without a step", "practice.csv", "tail_mm,150", "scale_resolution_g,0",
			[]string{"practice.csv:3:value: 0 must be more than 0, in grams"}},
		{"scale in milligrams", "practice.csv", "tail_mm,150", "scale_resolution_g,100.001",
			[]string{"practice.csv:3:value: 100.001 must be at most 100, in grams"}},
		{"loss in percent", "practice.csv", "tail_mm,150", "loss_of_drawn,5",
			[]string{"practice.csv:3:value: 5 is not a number from 0 to 1"}},
		{"refused before it is cautioned", "practice.csv", "tail_mm,150", "refuse_breaking_share,0.5",
			[]string{"practice.csv:3:value: refuse_breaking_share must not be below caution_breaking_share"}},
		{"no core between the limits", "practice.csv", "tail_mm,150", "core_share_most,0.1",
			[]string{"practice.csv:3:value: core_share_most must not be below core_share_least"}},
		{"turns not a number", "practice.csv", "6.5", "six",
			[]string{`practice.csv:4:value: "six" is not a plain decimal number such as 13.5`}},
		{"no such currency", "practice.csv", "EUR", "EURO",
			[]string{`practice.csv:2:value: "EURO" is not an ISO 4217 currency code such as USD`}},
		{"currency without decimals", "practice.csv", "EUR", "JPY",
			[]string{
				`wires.csv:2:price_per_kg: "56.50" has more than the 0 decimals of JPY`,
				`wires.csv:4:price_per_kg: "61.25" has more than the 0 decimals of JPY`,
				`spools.csv:2:cost: "25.30" has more than the 0 decimals of JPY`,
				`spools.csv:3:cost: "22.80" has more than the 0 decimals of JPY`,
			}},
	})
}
