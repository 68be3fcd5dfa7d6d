package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"windingroom/testdata/scenario"
)

// matchDoc is the answer to a match as the command prints it.
type matchDoc struct {
	Positions []struct {
		Tension      float64     `json:"tension_n"`
		Alternatives []matchLine `json:"alternatives"`
	} `json:"positions"`
	Recommended setDoc `json:"recommended"`
}

// setDoc is a whole set.
type setDoc struct {
	Strings  []matchLine `json:"strings"`
	Total    float64     `json:"total_n"`
	Spread   float64     `json:"spread_percent"`
	Currency string      `json:"currency"`
	WireCost float64     `json:"wire_cost"`
	Price    float64     `json:"price"`
	Winding  float64     `json:"winding_minutes"`
	Setup    float64     `json:"setup_minutes"`
	Margin   float64     `json:"margin_percent"`
	Notes    []string    `json:"price_notes"`
	Cautions []string    `json:"cautions"`
}

type matchLine struct {
	Position   int      `json:"position"`
	Recipe     string   `json:"recipe"`
	Core       string   `json:"core"`
	Wraps      []string `json:"wraps"`
	Gauge      float64  `json:"gauge_thou"`
	Nominal    float64  `json:"nominal_gauge_thou"`
	Tension    float64  `json:"tension_n"`
	Difference float64  `json:"difference_percent"`
	Share      float64  `json:"breaking_share"`
	Held       bool     `json:"held"`
	Kept       bool     `json:"kept"`
}

// matched runs the command on a question and gives its answer.
func (r room) matched(question string) (doc matchDoc) {
	r.t.Helper()
	var out, errs bytes.Buffer
	if code := run(context.Background(), []string{"match", "-", "--database", r.database}, strings.NewReader(question), &out, &errs); code != done {
		r.t.Fatalf("match %s: status %d: %s", question, code, errs.String())
	}
	if err := json.Unmarshal(out.Bytes(), &doc); err != nil {
		r.t.Fatal(err)
	}
	return doc
}

// TestMatchOfTheScenario matches every standing set of the invented shop in every alloy and re-checks each answer from the
// import files and the formulas alone.
func TestMatchOfTheScenario(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, scenario.Files); err != nil {
		t.Fatal(err)
	}
	r := newRoom(t)
	r.run("import", dir)
	r.run("plan", "--date", scenario.Day, "--release")
	c := newChecker(t, scenario.Files)
	free := freeOf(t, r, c)
	sets := map[string][]map[string]string{}
	for _, row := range table(t, scenario.Files, "sets.csv") {
		sets[row["set"]] = append(sets[row["set"]], row)
	}
	offered, held := 0, 0
	for name, rows := range sets {
		for _, alloy := range []string{"nickel-plated-steel", "nickel", "phosphor-bronze-8", "bronze-80-20", "stainless-430", "cupronickel-90-10", "copper"} {
			for _, heldOnly := range []bool{false, true} {
				doc := r.matched(questionOf(rows, alloy, heldOnly))
				if len(doc.Positions) != len(rows) || len(doc.Recommended.Strings) != len(rows) {
					t.Fatalf("%s in %s: %d positions, %d recommended", name, alloy, len(doc.Positions), len(doc.Recommended.Strings))
				}
				for i, p := range doc.Positions {
					now := c.recipeLine(rows[i]["recipe"])
					if want := c.tension(now, rows[i]); math.Abs(p.Tension/want-1) > 1e-9 {
						t.Fatalf("%s %d: present tension %v, want %v", name, i+1, p.Tension, want)
					}
					last := 0.0
					for _, a := range p.Alternatives {
						offered++
						if a.Held {
							held++
						}
						where := fmt.Sprintf("%s %d in %s: %+v", name, i+1, alloy, a)
						c.checkLine(where, a, p.Tension, rows[i], alloy, free)
						if math.Abs(a.Difference) < last-1e-9 || math.Abs(a.Difference) > 5+1e-9 || heldOnly && !a.Held {
							t.Errorf("%s: out of order or beyond what was asked", where)
						}
						last = math.Abs(a.Difference)
					}
				}
				total := 0.0
				for _, s := range doc.Recommended.Strings {
					total += s.Tension
				}
				if math.Abs(total/doc.Recommended.Total-1) > 1e-9 {
					t.Errorf("%s in %s: total %v, the strings pull %v", name, alloy, doc.Recommended.Total, total)
				}
			}
		}
	}
	t.Logf("%d alternatives, %d held", offered, held)
	if offered < 300 || held < 200 {
		t.Error("too few to show anything")
	}
}

func questionOf(rows []map[string]string, alloy string, heldOnly bool) string {
	var strs []string
	for _, row := range rows {
		strs = append(strs, fmt.Sprintf(`{"recipe": %q, "scale_in": %s, "pitch": %q}`, row["recipe"], row["scale_in"], row["pitch"]))
	}
	return fmt.Sprintf(`{"set": [%s], "alloy": %q, "tolerance_percent": 5, "held_only": %v}`, strings.Join(strs, ","), alloy, heldOnly)
}

// freeOf gives what may be drawn from the fullest spool of each wire, in mg, by the stock command.
func freeOf(t *testing.T, r room, c *checker) map[string]float64 {
	t.Helper()
	var list struct {
		Spools []struct {
			Wire    string  `json:"wire"`
			Free    float64 `json:"free_mg"`
			Remnant bool    `json:"remnant"`
		} `json:"spools"`
	}
	if err := json.Unmarshal(r.run("stock", "--json"), &list); err != nil {
		t.Fatal(err)
	}
	free := map[string]float64{}
	for _, s := range list.Spools {
		if !s.Remnant {
			free[s.Wire] = math.Max(free[s.Wire], s.Free)
		}
	}
	return free
}

// recipeLine spells a recipe out as a line of an answer.
func (c *checker) recipeLine(code string) matchLine {
	return matchLine{Recipe: code, Core: c.recipes[code]["core"], Wraps: c.wraps(code)}
}

var densities = map[string]float64{"music-wire": 7850, "nickel-plated-steel": 7946, "nickel": 8890, "bronze-80-20": 8660, "phosphor-bronze-8": 8800,
	"stainless-430": 7700, "cupronickel-90-10": 8940}

var semitone = map[byte]float64{'C': -9, 'D': -7, 'E': -5, 'F': -4, 'G': -2, 'A': 0, 'B': 2}

// hertz reads a pitch of the scenario.
func (c *checker) hertz(pitch string) float64 {
	n, ok := semitone[pitch[0]]
	if !ok {
		return number(c.t, pitch)
	}
	n += float64(strings.Count(pitch, "#") - strings.Count(pitch[1:], "b"))
	return 440 * math.Pow(2, (n+12*(number(c.t, pitch[len(pitch)-1:])-4))/12)
}

// physics gives mass per length, gauge, area of the core and what one string takes of each wire in mg.
func (c *checker) physics(l matchLine, scaleIn float64) (mu, gauge, area float64, takes map[string]float64) {
	const thou = 25.4e-6
	core := c.wires[l.Core]
	d := number(c.t, core["size_thou"]) * thou
	area, body, gauge := math.Pi*d*d/4, d, d/thou
	if core["section"] == "hex" {
		if core["across"] == "corners" {
			d *= math.Sqrt(3) / 2
		}
		area, body, gauge = math.Sqrt(3)/2*d*d, 2*math.Sqrt(3)/math.Pi*d, 2/math.Sqrt(3)*d/thou
	}
	mm := func(setting string) float64 { return c.setting[setting] / 1000 }
	cut := scaleIn*0.0254 + mm("head_mm") + mm("tail_mm") + mm("chuck_waste_mm")
	if c.recipes[l.Recipe]["ball_end"] != "no" {
		cut += mm("ball_end_allowance_mm")
	}
	mu = densities[core["alloy"]] * area
	takes = map[string]float64{l.Core: mu * cut * 1e6}
	for i, code := range l.Wraps {
		w := c.wires[code]
		width := number(c.t, w["size_thou"]) * thou
		height, section := width, math.Pi*width*width/4
		if w["section"] == "flat" {
			height = number(c.t, w["thickness_thou"]) * thou
			section = width * height
		}
		turn := math.Pi * (body + height)
		lay := width / math.Sqrt(1-width/turn*width/turn)
		if given := c.recipes[l.Recipe][fmt.Sprintf("lay_%d_thou", i+1)]; given != "" {
			lay = number(c.t, given) * thou
		}
		linear := densities[w["alloy"]] * section
		wound := scaleIn*0.0254 + mm("head_mm") + mm("wrap_beyond_nut_mm")
		takes[code] += linear * (wound/lay + c.setting["wrap_waste_turns"]) * math.Hypot(turn, lay) * 1e6
		mu += linear * math.Hypot(turn, lay) / lay
		body, gauge = body+2*height, gauge+2*height/thou
	}
	return mu, gauge, area, takes
}

func (c *checker) tension(l matchLine, row map[string]string) float64 {
	mu, _, _, _ := c.physics(l, number(c.t, row["scale_in"]))
	return mu * math.Pow(2*number(c.t, row["scale_in"])*0.0254*c.hertz(row["pitch"]), 2)
}

func (c *checker) checkLine(where string, a matchLine, present float64, row map[string]string, alloy string, free map[string]float64) {
	c.t.Helper()
	scale := number(c.t, row["scale_in"])
	_, gauge, _, takes := c.physics(a, scale)
	tension := c.tension(a, row)
	if math.Abs(a.Tension/tension-1) > 1e-9 || math.Abs(a.Difference-100*(tension/present-1)) > 1e-7 || math.Abs(a.Gauge-gauge) > 1e-6 {
		c.t.Errorf("%s: tension %v, gauge %v", where, tension, gauge)
	}
	outer := a.Core
	if n := len(a.Wraps); n > 0 {
		outer = a.Wraps[n-1]
	} else {
		alloy = c.wires[c.recipes[row["recipe"]]["core"]]["alloy"]
	}
	if c.wires[outer]["alloy"] != alloy || (len(a.Wraps) == 0) != (len(c.wraps(row["recipe"])) == 0) {
		c.t.Errorf("%s: is of %s", where, c.wires[outer]["alloy"])
	}
	if a.Recipe != "" && fmt.Sprint(c.recipeLine(a.Recipe).Wraps, c.recipes[a.Recipe]["core"]) != fmt.Sprint(a.Wraps, a.Core) {
		c.t.Errorf("%s: the recipe is another", where)
	}
	held := true
	for wire, mg := range takes {
		held = held && free[wire] >= mg
	}
	if held != a.Held {
		c.t.Errorf("%s: held %v, takes %v of %v", where, a.Held, takes, free)
	}
}

// TestMatchRefusesByField: what is wrong is named by its path, and the status is 2.
func TestMatchRefusesByField(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, scenario.Files); err != nil {
		t.Fatal(err)
	}
	r := newRoom(t)
	r.run("import", dir)
	const set = `{"set": [{"recipe": "P-9", "scale_in": 25.5, "pitch": "E4"}, {"recipe": "P-13", "scale_in": 25.5, "pitch": "B3"}, {"recipe": "%s", "scale_in": 25.5, "pitch": "%s"}], "alloy": "%s"}`
	for _, tt := range []struct{ recipe, pitch, alloy, says string }{
		{"P-16", "X9", "nickel", "set[2].pitch"}, {"P-0", "G3", "nickel", "set[2].recipe"}, {"P-16", "G3", "tin", "alloy"},
	} {
		file := filepath.Join(t.TempDir(), "set.json")
		if err := os.WriteFile(file, fmt.Appendf(nil, set, tt.recipe, tt.pitch, tt.alloy), 0o600); err != nil {
			t.Fatal(err)
		}
		var out, errs bytes.Buffer
		code := run(context.Background(), []string{"match", file, "--database", r.database}, strings.NewReader(""), &out, &errs)
		if code != wrongInput || !strings.Contains(errs.String(), tt.says) || strings.Count(errs.String(), "\n") != 1 || out.Len() > 0 {
			t.Errorf("%+v: status %d, %s%s", tt, code, errs.String(), out.String())
		}
	}
}
