package intake_test

import (
	"maps"
	"strings"
	"testing"
	"testing/fstest"

	"windingroom/internal/intake"
	"windingroom/internal/material"
)

// shop is a small folder in which everything is right. Tests spoil one place of it.
var shop = folder{
	"alloys.csv": `alloy,name,density_kg_m3,ferromagnetic,core,wrap,source
trial-alloy,"Trial, first melt",8940,no,no,yes,mill sheet
`,
	"wires.csv": `wire,alloy,section,size_thou,thickness_thou,usable_end_g,supplier,pack_kg,price_per_kg,across
MW-R-10,music-wire,round,10,,1.5,north,0.5,56.50,
MW-H-14,music-wire,hex,14,,2.5,north,0.5,48.00,corners
PB-R-8,phosphor-bronze-8,round,8,,1,north,1,61.25,
SS-F-24,stainless-430,flat,24,5,1,,,,
`,
	"suppliers.csv": `supplier,name,lead_days,lead_days_sd,order_minimum,order_cost
north,North Ferry Wire,21,4.5,150.00,18.00
`,
	"spools.csv": `spool,wire,lot,received_on,gross_g,tare_g,cost,location
S1,MW-R-10,L-77,2026-02-02,680.5,180,25.30,rack A1
S2,MW-H-14,L-78,2026-02-02,655,180,22.80,
`,
	"recipes.csv": `recipe,gauge_thou,core,wrap_1,wrap_2,wrap_3,lay_1_thou,lay_2_thou,lay_3_thou,ball_end,yield,minutes_each
P-10,10,MW-R-10,,,,,,,yes,0.98,0.35
PB-30,30,MW-H-14,PB-R-8,,,9,,,yes,0.97,1.5
SF-40,40,MW-H-14,PB-R-8,SS-F-24,,,,,no,0.95,2
`,
	"sets.csv": `set,position,recipe,scale_in,pitch
duo,1,P-10,25.5,E4
duo,2,PB-30,25.5,110
`,
	"orders.csv": `order,line,ordered_on,due_on,customer,set,quantity,position,recipe,scale_in,pitch
O-1,1,2026-02-20,2026-03-06,"Low Ferry, Workshop",duo,3,,,,
O-1,2,2026-02-20,2026-03-06,"Low Ferry, Workshop",,2,1,P-10,24.75,Eb4
O-1,2,2026-02-20,2026-03-06,"Low Ferry, Workshop",,2,2,SF-40,24.75,F#2
O-2,1,2026-02-23,2026-02-23,Hobb Lane School,duo,1,,,,
`,
	"machines.csv": `machine,winds,longest_mm,minutes_per_day
bench,both,950,450
`,
	"usage.csv": `used_on,wire,mass_g,order
2025-11-03,MW-R-10,12.5,O-0
2025-11-03,MW-R-10,12.5,O-0
2025-11-04,PB-R-8,40,
`,
	"practice.csv": `setting,value
currency,EUR
tail_mm,150
wrap_waste_turns,6.5
change_spool_min,1.5
`,
}

// folder is the text of import files by name.
type folder map[string]string

// with gives a copy in which the first old of a file is new; an empty old replaces the whole file.
func (f folder) with(t *testing.T, file, old, new string) folder {
	t.Helper()
	g := maps.Clone(f)
	if old == "" {
		g[file] = new
		return g
	}
	if !strings.Contains(g[file], old) {
		t.Fatalf("%s has no %q to spoil", file, old)
	}
	g[file] = strings.Replace(g[file], old, new, 1)
	return g
}

func (f folder) fs() fstest.MapFS {
	fsys := fstest.MapFS{}
	for name, text := range f {
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return fsys
}

// newShop is what a new database has.
func newShop() intake.Known { return intake.Known{Alloys: material.BuiltIn()} }

func readAll(f folder, known intake.Known) (intake.Facts, intake.Problems) {
	read, _ := intake.Read(f.fs())
	return read.Facts(known)
}

func mustRead(t *testing.T, f folder, known intake.Known) intake.Facts {
	t.Helper()
	facts, problems := readAll(f, known)
	if err := problems.Err(); err != nil {
		t.Fatal(err)
	}
	return facts
}

// texts prints the problems one by one.
func texts(problems intake.Problems) []string {
	var list []string
	for _, p := range problems {
		list = append(list, p.String())
	}
	return list
}
