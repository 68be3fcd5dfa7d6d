package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// This file re-checks a released plan from the import files alone, written from the words of the file formats and not from
// the code under test: it reads the CSV files itself, counts setup itself, and takes only the mass of one string from the
// estimate command. Binomial probabilities come from gonum.

// table is a CSV file as maps from column to text.
func table(t testing.TB, folder fs.FS, name string) []map[string]string {
	t.Helper()
	raw, err := fs.ReadFile(folder, name)
	if err != nil {
		return nil
	}
	records, err := csv.NewReader(bytes.NewReader(raw)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, column := range records[0] {
			row[column] = record[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func number(t testing.TB, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	return v
}

// planDoc is the plan as the command prints it.
type planDoc struct {
	Date     string `json:"date"`
	Released bool   `json:"released"`
	Machines []struct {
		Machine string `json:"machine"`
		Batches []struct {
			Batch   string  `json:"batch"`
			Recipe  string  `json:"recipe"`
			Scale   float64 `json:"scale_in"`
			Ordered int     `json:"strings_ordered"`
			ToWind  int     `json:"strings_to_wind"`
			Setup   float64 `json:"setup_min"`
			Run     float64 `json:"run_min"`
			Starts  float64 `json:"starts_min"`
			Ends    float64 `json:"ends_min"`
			Draws   []struct {
				Spool   string `json:"spool"`
				Wire    string `json:"wire"`
				Strings int    `json:"strings"`
				Mass    int64  `json:"mass_mg"`
			} `json:"draws"`
			Orders []struct {
				Order    string `json:"order"`
				Line     int    `json:"line"`
				Position int    `json:"position"`
				Strings  int    `json:"strings"`
			} `json:"orders"`
		} `json:"batches"`
	} `json:"machines"`
	NotPlanned []struct {
		Order    string `json:"order"`
		Line     int    `json:"line"`
		Position int    `json:"position"`
		Strings  int    `json:"strings"`
		Why      string `json:"why"`
		Detail   string `json:"detail"`
	} `json:"not_planned"`
	Setup      float64  `json:"setup_min"`
	SetupBound float64  `json:"setup_bound_min"`
	Late       []string `json:"late_orders"`
}

// checker holds the import files of one shop.
type checker struct {
	t                                testing.TB
	wires, recipes, spools, machines map[string]map[string]string
	setting                          map[string]float64
	want                             map[string]int    // order/line/position -> strings
	makes                            map[string]string // order/line/position -> recipe@scale
	due                              map[string]string
	massEach                         map[string]map[string]float64 // recipe@scale -> wire -> mg
}

func newChecker(t testing.TB, folder fs.FS) *checker {
	t.Helper()
	c := &checker{t: t, want: map[string]int{}, makes: map[string]string{}, due: map[string]string{}, massEach: map[string]map[string]float64{}}
	byCode := func(file, column string) map[string]map[string]string {
		all := map[string]map[string]string{}
		for _, row := range table(t, folder, file) {
			all[row[column]] = row
		}
		return all
	}
	c.wires, c.recipes, c.spools, c.machines = byCode("wires.csv", "wire"), byCode("recipes.csv", "recipe"), byCode("spools.csv", "spool"), byCode("machines.csv", "machine")
	c.setting = map[string]float64{
		"ball_end_allowance_mm": 45, "tail_mm": 140, "head_mm": 20, "chuck_waste_mm": 25, "wrap_beyond_nut_mm": 30, "wrap_waste_turns": 6,
		"change_core_min": 6, "change_wrap_min": 4, "change_length_min": 2, "change_spool_min": 1.5, "completion_confidence": 0.95,
	}
	for _, row := range table(t, folder, "practice.csv") {
		if row["setting"] != "currency" {
			c.setting[row["setting"]] = number(t, row["value"])
		}
	}
	sets := map[string][]map[string]string{}
	for _, row := range table(t, folder, "sets.csv") {
		sets[row["set"]] = append(sets[row["set"]], row)
	}
	for _, row := range table(t, folder, "orders.csv") {
		rows := []map[string]string{row}
		if row["set"] != "" {
			rows = sets[row["set"]]
		}
		for _, pos := range rows {
			at := row["order"] + "/" + row["line"] + "/" + pos["position"]
			c.want[at] += int(number(t, row["quantity"]))
			c.makes[at] = stringKey(pos["recipe"], number(t, pos["scale_in"]))
		}
		c.due[row["order"]] = row["due_on"]
	}
	return c
}

func stringKey(recipe string, scale float64) string { return fmt.Sprintf("%s@%g", recipe, scale) }

// wraps lists the wrap wires of a recipe.
func (c *checker) wraps(recipe string) []string {
	var wraps []string
	for i := 1; i <= 3; i++ {
		if w := c.recipes[recipe]["wrap_"+strconv.Itoa(i)]; w != "" {
			wraps = append(wraps, w)
		}
	}
	return wraps
}

// each gives the unrounded mg of each wire in one string, asked of the estimate command.
func (c *checker) each(recipe string, scale float64, estimate func(body string) []byte) map[string]float64 {
	key := stringKey(recipe, scale)
	if known, ok := c.massEach[key]; ok {
		return known
	}
	row := c.recipes[recipe]
	wire := func(code string) string {
		w := c.wires[code]
		text := fmt.Sprintf(`"alloy": %q, "section": %q, "size_thou": %s`, w["alloy"], w["section"], w["size_thou"])
		if w["section"] == "flat" {
			text += `, "thickness_thou": ` + w["thickness_thou"]
		}
		if w["across"] != "" {
			text += fmt.Sprintf(`, "across": %q`, w["across"])
		}
		return text
	}
	var layers []string
	for i, w := range c.wraps(recipe) {
		text := wire(w)
		if lay := row["lay_"+strconv.Itoa(i+1)+"_thou"]; lay != "" {
			text += `, "lay_thou": ` + lay
		}
		layers = append(layers, "{"+text+"}")
	}
	body := fmt.Sprintf(`{"core": {%s}, "layers": [%s], "ball_end": %v, "scale_in": %g, "pitch": "A2"}`,
		wire(row["core"]), strings.Join(layers, ","), row["ball_end"] == "yes", scale)
	var answer struct {
		Core struct {
			Mass float64 `json:"mass_mg"`
		} `json:"core"`
		Layers []struct {
			Mass float64 `json:"mass_mg"`
		} `json:"layers"`
	}
	if err := json.Unmarshal(estimate(body), &answer); err != nil {
		c.t.Fatalf("estimate %s: %v", body, err)
	}
	masses := map[string]float64{row["core"]: answer.Core.Mass}
	for i, w := range c.wraps(recipe) {
		masses[w] += answer.Layers[i].Mass
	}
	c.massEach[key] = masses
	return masses
}

// loaded is what a machine has on it.
type loaded struct {
	wire  [4]string // core, then layers
	spool map[string]string
	scale float64
}

// check re-checks a plan of a shop that had nothing on its machines and nothing allocated. It gives what each spool is to
// lose in mg.
func (c *checker) check(plan planDoc, estimate func(string) []byte) map[string]int64 {
	c.t.Helper()
	got := map[string]int{}
	drawn := map[string]int64{}
	names := map[string]bool{}
	var setupAll float64
	evenings := map[string]evening{}
	for _, m := range plan.Machines {
		machine, ok := c.machines[m.Machine]
		if !ok {
			c.t.Errorf("machine %q is not in machines.csv", m.Machine)
			continue
		}
		on := loaded{spool: map[string]string{}}
		clock := 0.0
		for _, b := range m.Batches {
			at := "batch " + b.Batch
			if names[b.Batch] {
				c.t.Errorf("%s stands twice", at)
			}
			names[b.Batch] = true
			recipe := c.recipes[b.Recipe]
			wraps := c.wraps(b.Recipe)
			if cut := c.cut(b.Recipe, b.Scale); cut > number(c.t, machine["longest_mm"])+1e-9 {
				c.t.Errorf("%s: a cut of %.1f mm is too long for %s", at, cut, m.Machine)
			}
			if w := machine["winds"]; w == "plain" && len(wraps) > 0 || w == "wound" && len(wraps) == 0 {
				c.t.Errorf("%s: %s does not wind it", at, m.Machine)
			}

			ordered := 0
			for _, o := range b.Orders {
				place := fmt.Sprintf("%s/%d/%d", o.Order, o.Line, o.Position)
				if c.makes[place] != stringKey(b.Recipe, b.Scale) {
					c.t.Errorf("%s: %s wants %s", at, place, c.makes[place])
				}
				got[place] += o.Strings
				ordered += o.Strings
			}
			if ordered != b.Ordered || ordered == 0 {
				c.t.Errorf("%s: %d strings ordered, its orders want %d", at, b.Ordered, ordered)
			}
			yield := number(c.t, recipe["yield"])
			if n := smallest(ordered, yield, c.setting["completion_confidence"]); n != b.ToWind {
				c.t.Errorf("%s: %d to wind for %d at yield %v, want %d", at, b.ToWind, ordered, yield, n)
			}

			setup := c.setup(&on, b.Recipe, b.Scale, wraps)
			byWire := map[string]int{}
			lastSpool := map[string]string{}
			for _, d := range b.Draws {
				if c.spools[d.Spool]["wire"] != d.Wire {
					c.t.Errorf("%s: spool %s is not of %s", at, d.Spool, d.Wire)
				}
				switch last, again := lastSpool[d.Wire]; {
				case again && last != d.Spool:
					setup += c.setting["change_spool_min"]
				case !again && on.spool[d.Wire] != "" && on.spool[d.Wire] != d.Spool:
					setup += c.setting["change_spool_min"]
				}
				lastSpool[d.Wire] = d.Spool
				byWire[d.Wire] += d.Strings
				drawn[d.Spool] += d.Mass
				each := c.each(b.Recipe, b.Scale, estimate)[d.Wire]
				if diff := math.Abs(float64(d.Mass) - float64(d.Strings)*each); diff > 0.5001 {
					c.t.Errorf("%s: %d strings of %.6f mg from %s are %.3f mg, not %d", at, d.Strings, each, d.Spool, float64(d.Strings)*each, d.Mass)
				}
			}
			c.mount(&on, b.Recipe, wraps, lastSpool)
			for wire := range c.each(b.Recipe, b.Scale, estimate) {
				if byWire[wire] != b.ToWind {
					c.t.Errorf("%s: %d of %d strings have their %s", at, byWire[wire], b.ToWind, wire)
				}
			}
			if math.Abs(setup-b.Setup) > 1e-6 {
				c.t.Errorf("%s on %s: setup %v min, want %v", at, m.Machine, b.Setup, setup)
			}
			if run := float64(b.ToWind) * number(c.t, recipe["minutes_each"]); math.Abs(run-b.Run) > 1e-6 {
				c.t.Errorf("%s: run %v min, want %v", at, b.Run, run)
			}
			if math.Abs(b.Starts-clock) > 1e-6 || math.Abs(b.Ends-clock-b.Setup-b.Run) > 1e-6 {
				c.t.Errorf("%s: from %v to %v min, want from %v to %v", at, b.Starts, b.Ends, clock, clock+b.Setup+b.Run)
			}
			clock = b.Ends
			setupAll += b.Setup
		}
		last := ""
		if n := len(m.Batches); n > 0 {
			last = stringKey(m.Batches[n-1].Recipe, m.Batches[n-1].Scale)
		}
		evenings[m.Machine] = evening{on, clock, last}
		if clock > number(c.t, machine["minutes_per_day"])+1e-6 {
			c.t.Errorf("%s works %v of its %s minutes", m.Machine, clock, machine["minutes_per_day"])
		}
	}
	for _, n := range plan.NotPlanned {
		got[fmt.Sprintf("%s/%d/%d", n.Order, n.Line, n.Position)] += n.Strings
		if n.Why != "wire" && n.Why != "time" && n.Why != "machine" || n.Detail == "" || n.Strings <= 0 {
			c.t.Errorf("not planned: %+v", n)
		}
	}
	for place, n := range c.want {
		if got[place] != n {
			c.t.Errorf("%s: %d strings planned or left out, %d ordered", place, got[place], n)
		}
	}
	for place := range got {
		if _, ok := c.want[place]; !ok {
			c.t.Errorf("%s is in the plan and nobody ordered it", place)
		}
	}
	for spool, mass := range drawn {
		net := math.Round((number(c.t, c.spools[spool]["gross_g"]) - number(c.t, c.spools[spool]["tare_g"])) * 1000)
		if end := number(c.t, c.wires[c.spools[spool]["wire"]]["usable_end_g"]) * 1000; net < end {
			c.t.Errorf("spool %s is a remnant", spool)
		}
		if float64(mass) > net {
			c.t.Errorf("spool %s gives %d mg of %.0f", spool, mass, net)
		}
	}
	if math.Abs(setupAll-plan.Setup) > 1e-6 {
		c.t.Errorf("setup %v min, the batches have %v", plan.Setup, setupAll)
	}
	if plan.SetupBound > plan.Setup+1e-9 || plan.SetupBound < 0 {
		c.t.Errorf("setup bound %v above setup %v", plan.SetupBound, plan.Setup)
	}
	c.missed(plan, evenings, drawn, estimate)
	left := map[string]bool{}
	for _, n := range plan.NotPlanned {
		left[n.Order] = true
	}
	late := map[string]bool{}
	for _, o := range plan.Late {
		late[o] = true
	}
	for o, due := range c.due {
		if want := due < plan.Date || due == plan.Date && left[o]; late[o] != want {
			c.t.Errorf("order %s due %s: late %v, want %v", o, due, late[o], want)
		}
	}
	return drawn
}

// setup counts what differs between what is loaded and what a batch needs, and loads the length.
func (c *checker) setup(on *loaded, recipe string, scale float64, wraps []string) float64 {
	minutes := 0.0
	for i, w := range append([]string{c.recipes[recipe]["core"]}, wraps...) {
		if on.wire[i] == w {
			continue
		}
		if i == 0 {
			minutes += c.setting["change_core_min"]
		} else {
			minutes += c.setting["change_wrap_min"]
		}
		if !c.elsewhere(on, w, append([]string{c.recipes[recipe]["core"]}, wraps...)) {
			delete(on.spool, w) // a wire that is newly loaded brings its spool with it
		}
	}
	if on.scale != scale {
		minutes += c.setting["change_length_min"]
	}
	on.scale = scale
	return minutes
}

// elsewhere says whether a wire that a batch needs sits already in another of the places where the batch needs it.
func (c *checker) elsewhere(on *loaded, wire string, needs []string) bool {
	for i, w := range needs {
		if w == wire && on.wire[i] == wire {
			return true
		}
	}
	return false
}

// mount notes what is on the machine when a batch is done.
func (c *checker) mount(on *loaded, recipe string, wraps []string, lastSpool map[string]string) {
	for i, w := range append([]string{c.recipes[recipe]["core"]}, wraps...) {
		on.wire[i] = w
	}
	for w, s := range lastSpool {
		on.spool[w] = s
	}
	// The spool of a wire that has left every place is forgotten.
	for w := range on.spool {
		if on.wire[0] != w && on.wire[1] != w && on.wire[2] != w && on.wire[3] != w {
			delete(on.spool, w)
		}
	}
}

// smallest gives the smallest N with P(Binomial(N, yield) >= ordered) >= confidence, by gonum.
func smallest(ordered int, yield, confidence float64) int {
	for n := ordered; ; n++ {
		if yield == 1 || 1-(distuv.Binomial{N: float64(n), P: yield}).CDF(float64(ordered)-1) >= confidence-1e-12 {
			return n
		}
	}
}
