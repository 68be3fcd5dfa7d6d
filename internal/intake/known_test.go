package intake_test

import (
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"windingroom/internal/catalog"
	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

// keep gives what a shop has once facts were written to it.
func keep(known intake.Known, facts intake.Facts) intake.Known {
	if facts.Practice != nil {
		known.Practice = *facts.Practice
	}
	known.Alloys = material.NewAlloys(known.Alloys...).With(facts.Alloys...).List()
	known.Wires = replace(known.Wires, facts.Wires, func(w material.Wire) string { return string(w.Code) })
	known.Suppliers = replace(known.Suppliers, facts.Suppliers, func(s catalog.Supplier) string { return s.Code })
	known.Recipes = replace(known.Recipes, facts.Recipes, func(r catalog.Recipe) string { return string(r.Code) })
	known.Sets = replace(known.Sets, facts.Sets, func(s catalog.Set) string { return string(s.Code) })
	known.Machines = replace(known.Machines, facts.Machines, func(m catalog.Machine) string { return string(m.Code) })
	known.Orders = replace(known.Orders, facts.Orders, func(o order.Order) string { return string(o.Code) })
	known.Spools = replace(known.Spools, facts.Spools, func(s stock.Spool) string { return string(s.Code) })
	usage := maps.Clone(known.Usage)
	if usage == nil {
		usage = map[stock.Usage]int{}
	}
	for _, u := range facts.Usage {
		u.Nth = 0
		usage[u]++
	}
	known.Usage = usage
	return known
}

func replace[T any](old, changed []T, code func(T) string) []T {
	byCode := map[string]T{}
	for _, v := range slices.Concat(old, changed) {
		byCode[code(v)] = v
	}
	var all []T
	for _, c := range slices.Sorted(maps.Keys(byCode)) {
		all = append(all, byCode[c])
	}
	return all
}

// wantNothingNew says that a folder changes nothing.
func wantNothingNew(t interface{ Errorf(string, ...any) }, facts intake.Facts) {
	counts := facts.Counts
	facts.Counts = nil
	if !reflect.DeepEqual(facts, intake.Facts{}) {
		t.Errorf("facts %+v, want none", facts)
	}
	for _, c := range counts {
		if c.Added != 0 || c.Changed != 0 {
			t.Errorf("%s: %d added, %d changed, want none", c.File, c.Added, c.Changed)
		}
	}
}

func TestImportingTwiceChangesNothing(t *testing.T) {
	first := mustRead(t, shop, newShop())
	second := mustRead(t, shop, keep(newShop(), first))
	wantNothingNew(t, second)
	for i, c := range second.Counts {
		before := first.Counts[i]
		if c.Unchanged != before.Added+before.Changed+before.Unchanged {
			t.Errorf("%s: %d unchanged of %+v", c.File, c.Unchanged, before)
		}
	}
}

func TestImportingInOtherCaseChangesNothing(t *testing.T) {
	known := keep(newShop(), mustRead(t, shop, newShop()))
	f := folder{}
	for name, text := range shop {
		head, rows, _ := strings.Cut(text, "\n")
		for _, code := range []string{"MW-R-10", "SS-F-24", "PB-30", "SF-40", "O-0", "O-1", "S1"} {
			rows = strings.ReplaceAll(rows, code, strings.ToLower(code))
		}
		f[strings.ToUpper(name)] = head + "\n" + rows
	}
	wantNothingNew(t, mustRead(t, f, known))
}

func TestImportingWhatDiffers(t *testing.T) {
	known := keep(newShop(), mustRead(t, shop, newShop()))
	tests := []struct {
		name, file, old, new string
		want                 func(*intake.Facts)
	}{
		{"price", "wires.csv", "56.50", "57.50", func(f *intake.Facts) {
			w := known.Wires[slices.IndexFunc(known.Wires, func(w material.Wire) bool { return w.Code == "MW-R-10" })]
			w.PricePerKg = 5750
			f.Wires = []material.Wire{w}
		}},
		{"form of a wire without spools", "wires.csv", "flat,24,5", "flat,22,5", func(f *intake.Facts) {
			w := known.Wires[slices.IndexFunc(known.Wires, func(w material.Wire) bool { return w.Code == "SS-F-24" })]
			w.Form.Size = 22 * 25_400
			f.Wires = []material.Wire{w}
		}},
		{"lead", "suppliers.csv", "21,", "28,", func(f *intake.Facts) {
			s := known.Suppliers[0]
			s.LeadDays = 28
			f.Suppliers = []catalog.Supplier{s}
		}},
		{"set", "sets.csv", "duo,1,P-10,25.5,E4", "DUO,1,P-10,25.5,D4", func(f *intake.Facts) {
			s := known.Sets[0]
			s.Positions = slices.Clone(s.Positions)
			s.Positions[0].Pitch = "D4"
			f.Sets = []catalog.Set{s}
		}},
		{"setting", "practice.csv", "tail_mm,150", "head_mm,20", func(*intake.Facts) {}}, // the tail stays as it was set
		{"location", "spools.csv", "rack A1", "rack B9", func(*intake.Facts) {}},
		{"built-in alloy", "alloys.csv", "mill sheet\n", "mill sheet\nMusic-Wire,tinned wire,7840,yes,yes,no,own scales\n", func(f *intake.Facts) {
			f.Alloys = []material.Alloy{{Code: "music-wire", Name: "tinned wire", Density: 7840, Ferromagnetic: material.Strong, Core: true,
				Strength: material.ASTMA228, Nickel: material.No, Tarnishes: material.Later, Source: "own scales"}} // what the file says nothing of stays
		}},
		{"one more equal use", "usage.csv", "O-0\n", "O-0\n2025-11-03,MW-R-10,12.5,o-0\n", func(f *intake.Facts) {
			f.Usage = []stock.Usage{{On: known.Spools[0].ReceivedOn - 91, Wire: "MW-R-10", Mass: 12_500, Order: "O-0", Nth: 3}}
		}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := mustRead(t, shop.with(t, test.file, test.old, test.new), known)
			var want intake.Facts
			test.want(&want)
			got.Counts = nil
			if !reflect.DeepEqual(got, want) {
				t.Errorf("got\n%+v\nwant\n%+v", got, want)
			}
		})
	}
}

func TestWhatMayNotDiffer(t *testing.T) {
	known := keep(newShop(), mustRead(t, shop, newShop()))
	const receipt = "; a receipt that is already here is corrected by weighing or in the books, not by importing again"
	const other = "; change the order itself, not by importing again"
	tests := []mistake{
		{"wire of a spool", "spools.csv", "S1,MW-R-10", "S1,PB-R-8", []string{"spools.csv:2:wire: spool S1 is already here with MW-R-10" + receipt}},
		{"lot", "spools.csv", "L-77", "L-79", []string{"spools.csv:2:lot: spool S1 is already here with L-77" + receipt}},
		{"day", "spools.csv", "L-77,2026-02-02", "L-77,2026-02-03", []string{"spools.csv:2:received_on: spool S1 is already here with 2026-02-02" + receipt}},
		{"gross", "spools.csv", "680.5", "680.6", []string{"spools.csv:2:gross_g: spool S1 is already here with 680.5" + receipt}},
		{"tare", "spools.csv", "680.5,180", "680.5,181", []string{"spools.csv:2:tare_g: spool S1 is already here with 180" + receipt}},
		{"cost", "spools.csv", "25.30", "25.31", []string{"spools.csv:2:cost: spool S1 is already here with 25.30" + receipt}},
		{"due", "orders.csv", "2026-02-23,2026-02-23", "2026-02-23,2026-02-24", []string{"orders.csv:5:due_on: order O-2 is already here with another due_on" + other}},
		{"ordered", "orders.csv", "2026-02-23,2026-02-23", "2026-02-22,2026-02-23", []string{"orders.csv:5:ordered_on: order O-2 is already here with another ordered_on" + other}},
		{"customer", "orders.csv", "Hobb Lane", "Hob Lane", []string{"orders.csv:5:customer: order O-2 is already here with another customer" + other}},
		{"quantity", "orders.csv", "duo,1", "duo,2", []string{"orders.csv:5:line: order O-2 is already here with another line" + other}},
		{"string", "orders.csv", "F#2", "G2", []string{"orders.csv:3:line: order O-1 is already here with another line" + other}},
		{"one more line", "orders.csv", "O-2,1", "O-2,2,2026-02-23,2026-02-23,Hobb Lane School,duo,9,,,,\nO-2,1",
			[]string{"orders.csv:5:line: order O-2 is already here with another line" + other}},
		{"alloy of wire on the rack", "wires.csv", "MW-R-10,music-wire", "MW-R-10,stainless-430",
			[]string{"wires.csv:2:alloy: music-wire cannot become stainless-430 while spool S1 holds this wire; give the other wire a code of its own",
				"recipes.csv:2:core: MW-R-10 is of stainless-430, which is no core alloy; alloys.csv says which are"}},
		{"size of wire on the rack", "wires.csv", "round,10", "round,10.5",
			[]string{"wires.csv:2:size_thou: 10 cannot become 10.5 while spool S1 holds this wire; give the other wire a code of its own"}},
		{"measured otherwise on the rack", "wires.csv", "48.00,corners", "48.00,flats",
			[]string{"wires.csv:3:across: corners cannot become flats while spool S2 holds this wire; give the other wire a code of its own"}},
		{"currency", "practice.csv", "EUR", "USD", []string{"practice.csv:2:value: USD cannot take the place of EUR: costs and prices are kept in EUR already"}},
	}
	for _, m := range tests {
		t.Run(m.name, func(t *testing.T) {
			_, problems := readAll(shop.with(t, m.file, m.old, m.new), known)
			if got := texts(problems); !slices.Equal(got, m.want) {
				t.Errorf("got\n%q\nwant\n%q", got, m.want)
			}
		})
	}
}

func TestAnOrderKeepsItsStringsWhenTheSetChanges(t *testing.T) {
	known := keep(newShop(), mustRead(t, shop, newShop()))
	f := shop.with(t, "sets.csv", "duo,1,P-10,25.5,E4", "duo,1,P-10,25.5,D4")
	got := mustRead(t, f, known)
	if len(got.Sets) != 1 || len(got.Orders) != 0 {
		t.Errorf("%d sets and %d orders to write, want 1 and 0", len(got.Sets), len(got.Orders))
	}
}

func TestAChangeThatSpoilsARecipeOfTheShop(t *testing.T) {
	known := keep(newShop(), mustRead(t, shop, newShop()))
	tests := []struct{ name, file, text, want string }{
		{"wire", "wires.csv", "wire,alloy,section,size_thou,thickness_thou,usable_end_g,supplier,pack_kg,price_per_kg\nPB-R-8,phosphor-bronze-8,round,12,,1,north,1,61.25\n",
			"wires.csv:2:wire: with this change recipe PB-30 of the shop could not be wound: lay_1_thou: is closer than touching turns"},
		{"alloy", "alloys.csv", "alloy,name,density_kg_m3,ferromagnetic,core,wrap,source\nphosphor-bronze-8,,8800,no,no,no,\n",
			"alloys.csv:2:alloy: with this change recipe PB-30 of the shop could not be wound: wrap_1: PB-R-8 is of phosphor-bronze-8, which is no wrap alloy"},
	}
	for _, test := range tests {
		_, problems := readAll(folder{test.file: test.text}, known)
		if len(problems) != 2 || !strings.HasPrefix(problems[0].String(), test.want) {
			t.Errorf("%s: got %q, want one for each of two recipes, the first starting %q", test.name, texts(problems), test.want)
		}
	}
}

func TestAFileAloneRefersToTheShop(t *testing.T) {
	known := keep(newShop(), mustRead(t, shop, newShop()))
	got := mustRead(t, folder{"spools.csv": strings.ReplaceAll(strings.ReplaceAll(shop["spools.csv"], "S1", "S3"), "MW-R", "mw-r")}, known)
	if len(got.Spools) != 1 || got.Spools[0].Wire != "MW-R-10" || got.Counts[0] != (intake.Count{File: "spools.csv", Added: 1, Unchanged: 1}) {
		t.Errorf("got %+v", got)
	}
}
