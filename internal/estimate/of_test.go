package estimate_test

import (
	"encoding/json"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"windingroom/internal/estimate"
	"windingroom/internal/material"
	"windingroom/internal/winding"
)

const example = `{"core": {"alloy": "music-wire", "section": "hex", "size_thou": 17.0},
 "layers": [{"alloy": "phosphor-bronze-8", "section": "round", "size_thou": 11.5, "lay_thou": null}],
 "ball_end": true, "scale_in": 25.0, "pitch": "A2", "practice": {}}`

func answer(t *testing.T, text string) estimate.Answer {
	t.Helper()
	b := must(estimate.Decode([]byte(text)))(t)
	return must(estimate.Of(b, builtIn, winding.DefaultAllowances()))(t)
}

// TestExample holds a whole answer against the same arithmetic done in another language.
func TestExample(t *testing.T) {
	a := answer(t, example)
	tests := []struct {
		name      string
		got, want float64
	}{
		{"gauge", a.GaugeThou, 42.62990915244729},
		{"core length", a.Core.LengthMM, 865},
		{"core mass", a.Core.MassMg, 1096.431923541874},
		{"turns", a.Layers[0].Turns, 2327.848311544713},
		{"wrap length", a.Layers[0].LengthMM, 5674.358373425146},
		{"wrap mass", a.Layers[0].MassMg, 3346.2041105392777},
		{"diameter after", a.Layers[0].DiameterAfterThou, 42.62990915244729},
		{"mass per length", a.MassPerLengthKgM, 0.006139962282718835},
		{"frequency", a.FrequencyHz, 110},
		{"tension", a.TensionN, 119.82805650614619},
		{"tension in lbf", a.TensionLbf, 26.938418736839115},
		{"core stress", a.CoreStressMPa, 742.1003011864464},
		{"minimum tensile", *a.CoreMinimumTensileMPa, 2457.6098169484594},
		{"breaking share", *a.BreakingShare, 0.30196017938595726},
	}
	for _, tt := range tests {
		if math.Abs(tt.got-tt.want) > 1e-12*tt.want {
			t.Errorf("%s = %.16g, want %.16g", tt.name, tt.got, tt.want)
		}
	}
	if a.Ferromagnetic || len(a.Layers) != 1 || len(a.Cautions) != 1 || !strings.Contains(a.Cautions[0], "only less") {
		t.Errorf("ferromagnetic %v, %d layers, cautions %q", a.Ferromagnetic, len(a.Layers), a.Cautions)
	}
}

// TestAnswerNames: other programs read these names.
func TestAnswerNames(t *testing.T) {
	text := must(json.Marshal(answer(t, example)))(t)
	var got map[string]any
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	names := func(v any) (all []string) {
		for name := range v.(map[string]any) {
			all = append(all, name)
		}
		slices.Sort(all)
		return all
	}
	want := []string{"breaking_share", "cautions", "core", "core_minimum_tensile_mpa", "core_stress_mpa", "ferromagnetic", "frequency_hz",
		"gauge_thou", "layers", "mass_per_length_kg_m", "tension_lbf", "tension_n"}
	if !slices.Equal(names(got), want) {
		t.Errorf("fields are %v, want %v", names(got), want)
	}
	if layer := names(got["layers"].([]any)[0]); !slices.Equal(layer, []string{"diameter_after_thou", "length_mm", "mass_mg", "turns"}) {
		t.Errorf("fields of a layer are %v", layer)
	}
	if core := names(got["core"]); !slices.Equal(core, []string{"length_mm", "mass_mg"}) {
		t.Errorf("fields of the core are %v", core)
	}
}

func TestPlainString(t *testing.T) {
	const rest = `"core": {"alloy": "Music-Wire", "section": "round", "size_thou": 10}, "ball_end": true, "scale_in": 25.5, "pitch": "E4"}`
	want := must(json.Marshal(answer(t, "{"+rest)))(t)
	for _, layers := range []string{`"layers": null, `, `"layers": [], `} {
		if got := must(json.Marshal(answer(t, "{"+layers+rest)))(t); string(got) != string(want) {
			t.Errorf("%s gave %s, without it %s", layers, got, want)
		}
	}
	a := answer(t, "{"+rest)
	if !a.Ferromagnetic || len(a.Cautions) != 0 || a.Layers == nil || a.Cautions == nil {
		t.Errorf("got %+v, want a magnetic string without cautions, lists empty and not null", a)
	}
	if math.Abs(*a.BreakingShare-0.5364) > 1e-4 || math.Abs(a.GaugeThou-10) > 1e-12 {
		t.Errorf("breaking share %v, gauge %v", *a.BreakingShare, a.GaugeThou)
	}
}

func TestUnknownStrength(t *testing.T) {
	alloys := builtIn.With(material.Alloy{Code: "own-core", Density: 8000, Ferromagnetic: material.Strong, Core: true})
	b := must(estimate.Decode([]byte(strings.Replace(example, "music-wire", "own-core", 1))))(t)
	a := must(estimate.Of(b, alloys, winding.DefaultAllowances()))(t)
	if a.CoreMinimumTensileMPa != nil || a.BreakingShare != nil || a.CoreStressMPa == 0 {
		t.Errorf("got minimum %v, share %v, stress %v", a.CoreMinimumTensileMPa, a.BreakingShare, a.CoreStressMPa)
	}
	if text := string(must(json.Marshal(a))(t)); !strings.Contains(text, `"breaking_share":null`) || !strings.Contains(text, `"core_minimum_tensile_mpa":null`) {
		t.Errorf("unknown is not null: %s", text)
	}
	if !strings.Contains(a.Cautions[0], "strength of own-core is unknown") {
		t.Errorf("cautions %q", a.Cautions)
	}
}

func TestCautions(t *testing.T) {
	tests := []struct {
		name, core, wrap, pitch string
		want                    []string // a part of each caution, in order
		ferromagnetic           bool
	}{
		{"nothing to say", `"music-wire","section":"hex","size_thou":18`, `"nickel-plated-steel","section":"round","size_thou":14`, "E2", nil, true},
		{"weak is magnetic", `"music-wire","section":"hex","size_thou":18`, `"nickel","section":"round","size_thou":14`, "E2", nil, true},
		{"above 60 %", `"music-wire","section":"round","size_thou":10`, ``, "F#4", []string{"take care"}, true},
		{"above 70 %", `"music-wire","section":"round","size_thou":10`, ``, "G4", []string{"refused for standing sets"}, true},
		{"varies", `"music-wire","section":"hex","size_thou":18`, `"monel-400","section":"round","size_thou":14`, "E2", []string{"varies from heat to heat"}, false},
		{"open lay", `"music-wire","section":"hex","size_thou":18`, `"nickel","section":"round","size_thou":14,"lay_thou":15`, "E2", []string{"more open than touching"}, true},
		{"thick core", `"music-wire","section":"hex","size_thou":18`, `"nickel","section":"round","size_thou":4`, "E3", []string{"of the gauge"}, true},
		{"thin core", `"music-wire","section":"hex","size_thou":10`, `"nickel","section":"round","size_thou":24`, "E1", []string{"of the gauge"}, true},
		{"bronze plain string", `"phosphor-bronze-8","section":"round","size_thou":20`, ``, "E2",
			[]string{"strength of phosphor-bronze-8 is unknown", "does not sense", "not marked as a core"}, false},
		{"copper on bronze", `"phosphor-bronze-8","section":"round","size_thou":18`, `"copper","section":"round","size_thou":14`, "E2",
			[]string{"is unknown", "Neither", "not marked as a core"}, false},
		{"steel wound on", `"music-wire","section":"hex","size_thou":18`, `"music-wire","section":"round","size_thou":14`, "E2", []string{"not marked as a wrap"}, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			layers := "[]"
			if tt.wrap != "" {
				layers = `[{"alloy":` + tt.wrap + `}]`
			}
			a := answer(t, `{"core":{"alloy":`+tt.core+`},"layers":`+layers+`,"scale_in":25.5,"pitch":"`+tt.pitch+`"}`)
			if len(a.Cautions) != len(tt.want) {
				t.Fatalf("cautions are %q, want %q", a.Cautions, tt.want)
			}
			for i, part := range tt.want {
				if !strings.Contains(a.Cautions[i], part) {
					t.Errorf("caution %d is %q, want %q in it", i, a.Cautions[i], part)
				}
			}
			if a.Ferromagnetic != tt.ferromagnetic {
				t.Errorf("ferromagnetic is %v", a.Ferromagnetic)
			}
		})
	}
}

func TestPracticeReplacesTheShops(t *testing.T) {
	with := func(practice string) estimate.Answer {
		return answer(t, strings.Replace(example, `"practice": {}`, `"practice": `+practice, 1))
	}
	shops := with(`null`)
	tests := []struct {
		practice    string
		core, turns float64 // what is added
		waste       float64
	}{
		{`{}`, 0, 0, 0},
		{`{"tail_mm": null}`, 0, 0, 0},
		{`{"tail_mm": 150, "chuck_waste_mm": 20, "ball_end_allowance_mm": 46}`, 10 - 5 + 1, 0, 0},
		{`{"head_mm": 30}`, 10, 10, 0},
		{`{"wrap_beyond_nut_mm": 35.5}`, 0, 5.5, 0},
		{`{"wrap_waste_turns": 0}`, 0, 0, -6},
	}
	perTurn := shops.Layers[0].LengthMM / (shops.Layers[0].Turns + 6)
	lay := (50 + 635) / shops.Layers[0].Turns
	for _, tt := range tests {
		a := with(tt.practice)
		if got := a.Core.LengthMM - shops.Core.LengthMM; math.Abs(got-tt.core) > 1e-9 {
			t.Errorf("%s adds %v mm of core, want %v", tt.practice, got, tt.core)
		}
		if got, want := a.Layers[0].LengthMM-shops.Layers[0].LengthMM, (tt.turns/lay+tt.waste)*perTurn; math.Abs(got-want) > 1e-6 {
			t.Errorf("%s adds %v mm of wrap, want %v", tt.practice, got, want)
		}
	}
}

func TestOfNamesEveryFieldAtFault(t *testing.T) {
	tests := []struct {
		name, build string
		fields      []string
	}{
		{"nothing given", `{}`, []string{"core.alloy", "core.section", "core.size_thou", "pitch", "scale_in"}},
		{"size of zero", `{"core":{"alloy":"music-wire","section":"round","size_thou":0},"scale_in":25,"pitch":"E4"}`, []string{"core.size_thou"}},
		{"size of less", `{"core":{"alloy":"music-wire","section":"round","size_thou":-3},"scale_in":25,"pitch":"E4"}`, []string{"core.size_thou"}},
		{"size of a tower", `{"core":{"alloy":"music-wire","section":"round","size_thou":1e300},"scale_in":25,"pitch":"E4"}`, []string{"core.size_thou"}},
		{"unknown alloy", strings.Replace(example, "phosphor-bronze-8", "bronze", 1), []string{"layers[0].alloy"}},
		{"close lay", strings.Replace(example, "null", "11.5", 1), []string{"layers[0].lay_thou"}},
		{"lay of zero", strings.Replace(example, "null", "0", 1), []string{"layers[0].lay_thou"}},
		{"lay of less", strings.Replace(example, "null", "-20", 1), []string{"layers[0].lay_thou"}},
		{"pitch", strings.Replace(example, `"A2"`, `"H2"`, 1), []string{"pitch"}},
		{"pitch out of range", strings.Replace(example, `"A2"`, `7`, 1), []string{"pitch"}},
		{"scale", strings.Replace(example, "25.0", "-25", 1), []string{"scale_in"}},
		{"scale in mm", strings.Replace(example, "25.0", "648", 1), []string{"scale_in"}},
		{"practice", strings.Replace(example, `{}`, `{"tail":1,"tail_mm":-1,"wrap_waste_turns":-1,"head_mm":1e300}`, 1),
			[]string{"practice.head_mm", "practice.tail", "practice.tail_mm", "practice.wrap_waste_turns"}},
		{"several at once", `{"core":{"alloy":"nope","section":"flat","size_thou":10,"thickness_thou":2},"layers":[{"alloy":"copper","section":"flat","size_thou":40}],"pitch":"E4"}`,
			[]string{"core.alloy", "core.section", "layers[0].thickness_thou", "scale_in"}},
		{"across", strings.Replace(example, `"hex"`, `"hex", "across": "points"`, 1), []string{"core.across"}},
		{"four layers", strings.Replace(example, `"layers": [`, `"layers": [`+strings.Repeat(`{"alloy":"copper","section":"round","size_thou":5},`, 3), 1), []string{"layers"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			b := must(estimate.Decode([]byte(tt.build)))(t)
			a, err := estimate.Of(b, builtIn, winding.DefaultAllowances())
			checkFields(t, err, tt.fields)
			if a.TensionN != 0 {
				t.Error("a refused build was answered")
			}
		})
	}
}

func TestOfSurvivesNumbersJSONCannotHold(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		b := estimate.Build{Core: estimate.Wire{"music-wire", "flat", v, v, ""}, Layers: []estimate.Layer{{estimate.Wire{"copper", "flat", v, v, ""}, &v}},
			ScaleIn: v, Pitch: "E4", Practice: estimate.Practice{"tail_mm": &v, "wrap_waste_turns": &v}}
		_, err := estimate.Of(b, builtIn, winding.DefaultAllowances())
		var invalid estimate.Invalid
		if !errors.As(err, &invalid) || len(invalid) < 7 {
			t.Errorf("%v: got %v", v, err)
		}
	}
}

// TestAcrossCorners: a hex core sized over its corners is the same core.
func TestAcrossCorners(t *testing.T) {
	flats := answer(t, strings.Replace(example, `"size_thou": 17.0`, `"size_thou": 17.0, "across": "flats"`, 1))
	corners := answer(t, strings.Replace(example, `"size_thou": 17.0`, `"size_thou": 19.62990915, "across": "corners"`, 1))
	if math.Abs(corners.TensionN/flats.TensionN-1) > 1e-5 || math.Abs(corners.GaugeThou/flats.GaugeThou-1) > 1e-6 {
		t.Errorf("over flats %+v, over corners %+v", flats, corners)
	}
	if flats.TensionN != answer(t, example).TensionN {
		t.Error("flats is not the default")
	}
}

func checkFields(t *testing.T, err error, want []string) {
	t.Helper()
	var invalid estimate.Invalid
	if !errors.As(err, &invalid) {
		t.Fatalf("got %v, want Invalid", err)
	}
	var got []string
	for _, e := range invalid {
		got = append(got, e.Field)
		if e.Problem == "" || !strings.Contains(err.Error(), e.Field+" "+e.Problem) {
			t.Errorf("%q with %q is not in %q", e.Field, e.Problem, err)
		}
	}
	slices.Sort(got)
	if !slices.Equal(got, want) {
		t.Errorf("fields at fault are %v, want %v: %v", got, want, err)
	}
}
