package testkit

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing/fstest"
)

// shopFiles collects the rows of import files.
type shopFiles map[string][]string

func (f shopFiles) add(file, format string, args ...any) {
	f[file] = append(f[file], fmt.Sprintf(format, args...))
}

// RandomShop gives the import files of an invented shop: sometimes rich in wire, sometimes short of it, with machines that may not
// take every string. Its orders are due from 2026-05-08 on.
func RandomShop(r *rand.Rand) fstest.MapFS {
	f := shopFiles{
		"suppliers.csv": {"supplier,name,lead_days,lead_days_sd,order_minimum,order_cost", "mill,Invented Mill,14,3,100.00,8.00"},
		"wires.csv":     {"wire,alloy,section,size_thou,thickness_thou,usable_end_g,supplier,pack_kg,price_per_kg,across"},
		"spools.csv":    {"spool,wire,lot,received_on,gross_g,tare_g,cost,location"},
		"recipes.csv":   {"recipe,gauge_thou,core,wrap_1,wrap_2,wrap_3,lay_1_thou,lay_2_thou,lay_3_thou,ball_end,yield,minutes_each"},
		"sets.csv":      {"set,position,recipe,scale_in,pitch"},
		"orders.csv":    {"order,line,ordered_on,due_on,customer,set,quantity,position,recipe,scale_in,pitch"},
		"machines.csv":  {"machine,winds,longest_mm,minutes_per_day"},
		"practice.csv":  {"setting,value", "currency,EUR"},
	}
	for _, s := range []string{"change_core_min,5.5", "change_wrap_min,3.25", "change_spool_min,1", "completion_confidence,0.9", "wrap_waste_turns,7.5", "tail_mm,150"} {
		if r.IntN(2) == 0 {
			f.add("practice.csv", "%s", s)
		}
	}
	wealth := []float64{0.05, 0.5, 3}[r.IntN(3)]
	recipes := f.addRecipes(r)
	f.addSpools(r, wealth)
	f.addOrders(r, recipes)
	for i := range 1 + r.IntN(4) {
		winds := []string{"both", "both", "plain", "wound"}[r.IntN(4)]
		f.add("machines.csv", "m-%d,%s,%d,%d", i, winds, []int{880, 950, 1250}[r.IntN(3)], 60+r.IntN(420))
	}
	files := fstest.MapFS{}
	for name, rows := range f {
		files[name] = &fstest.MapFile{Data: []byte(strings.Join(rows, "\n") + "\n"), Mode: 0o600}
	}
	return files
}

// addRecipes adds plain and wound recipes with the wires they need, and gives their codes.
func (f shopFiles) addRecipes(r *rand.Rand) []string {
	wires := map[string]bool{}
	wire := func(code, alloy, section string, size float64, thickness, across string) string {
		if !wires[code] {
			wires[code] = true
			f.add("wires.csv", "%s,%s,%s,%g,%s,%d,mill,2,%d.50,%s", code, alloy, section, size, thickness, r.IntN(12), 20+r.IntN(40), across)
		}
		return code
	}
	wraps := []string{"phosphor-bronze-8", "bronze-80-20", "nickel-plated-steel", "nickel", "monel-400"}
	var recipes []string
	yes := func() string { return []string{"yes", "no"}[r.IntN(2)] }
	share := func() float64 { return float64(850+r.IntN(151)) / 1000 }
	minutes := func() float64 { return float64(20+r.IntN(300)) / 100 }
	for i := range 1 + r.IntN(6) {
		size := float64(16+i*3) / 2
		core := wire(fmt.Sprintf("plain-%d", i), "music-wire", "round", size, "", "")
		code := fmt.Sprintf("p%d", i)
		recipes = append(recipes, code)
		f.add("recipes.csv", "%s,%g,%s,,,,,,,%s,%g,%g", code, size, core, yes(), share(), minutes())
	}
	for i := range 1 + r.IntN(9) {
		size := 10 + float64(r.IntN(20))/2
		section, across, over := "round", "", size
		switch r.IntN(3) {
		case 0:
			section, over = "hex", size*1.1547005
		case 1:
			section, across = "hex", "corners"
		}
		core := wire(fmt.Sprintf("core-%s%s-%g", section, across, size), "music-wire", section, size, "", across)
		var layers, lays [3]string
		for l := range 1 + r.IntN(3) {
			alloy := wraps[r.IntN(len(wraps))]
			d := 5 + float64(r.IntN(16))/2
			layers[l] = wire(fmt.Sprintf("wrap-%s-%g", alloy, d), alloy, "round", d, "", "")
			if r.IntN(5) == 0 {
				lays[l] = fmt.Sprintf("%g", d*1.5)
			}
			over += 2 * d
		}
		code := fmt.Sprintf("w%d", i)
		recipes = append(recipes, code)
		f.add("recipes.csv", "%s,%.2f,%s,%s,%s,%s,%s,%s,%g,%g", code, over, core, strings.Join(layers[:], ","), lays[0], lays[1], lays[2], yes(), share(), minutes())
	}
	return recipes
}

func (f shopFiles) addSpools(r *rand.Rand, wealth float64) {
	n := 0
	for _, row := range f["wires.csv"][1:] {
		code, _, _ := strings.Cut(row, ",")
		for range r.IntN(5) {
			n++
			net := wealth * float64(1000+r.IntN(200_000)) / 1000
			tare := 150 + float64(r.IntN(100_000))/1000
			f.add("spools.csv", "s-%03d,%s,lot-%d,2026-%02d-%02d,%.3f,%.3f,%d.%02d,rack %d", n, code, r.IntN(9), 1+r.IntN(4), 1+r.IntN(28), net+tare, tare, r.IntN(40), r.IntN(100), r.IntN(9))
		}
	}
}

func (f shopFiles) addOrders(r *rand.Rand, recipes []string) {
	scales := []float64{25.5, 24.75, 27, 34}
	pitches := []string{"E4", "B3", "F#2", "Bb1", "110"}
	for s := range 3 {
		for p := range 1 + r.IntN(7) {
			f.add("sets.csv", "set-%d,%d,%s,%g,%s", s, p+1, recipes[r.IntN(len(recipes))], scales[r.IntN(2)], pitches[r.IntN(len(pitches))])
		}
	}
	for o := range 1 + r.IntN(25) {
		due := 8 + r.IntN(20)
		for line := range 1 + r.IntN(2) {
			head := fmt.Sprintf("o-%02d,%d,2026-05-01,2026-05-%02d,\"Invented, Player %d\"", o, line+1, due, o)
			quantity := 1 + r.IntN(8)
			if r.IntN(8) == 0 {
				quantity = 100 + r.IntN(100) // more than a day's work
			}
			if r.IntN(2) == 0 {
				f.add("orders.csv", "%s,set-%d,%d,,,,", head, r.IntN(3), quantity)
				continue
			}
			for p := range 1 + r.IntN(6) {
				f.add("orders.csv", "%s,,%d,%d,%s,%g,%s", head, quantity, p+1, recipes[r.IntN(len(recipes))], scales[r.IntN(4)], pitches[r.IntN(len(pitches))])
			}
		}
	}
}
