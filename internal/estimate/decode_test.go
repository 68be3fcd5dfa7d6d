package estimate_test

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"windingroom/internal/estimate"
	"windingroom/internal/winding"
)

func TestDecode(t *testing.T) {
	lay := 15.25
	tail := 120.0
	want := estimate.Build{
		Core: estimate.Wire{Alloy: "music-wire", Section: "hex", SizeThou: 17, Across: "corners"},
		Layers: []estimate.Layer{
			{estimate.Wire{Alloy: "copper", Section: "round", SizeThou: 11.5}, &lay},
			{estimate.Wire{Alloy: "nickel", Section: "flat", SizeThou: 40, ThicknessThou: 8}, nil},
		},
		BallEnd: true, ScaleIn: 25.5, Pitch: "82.41", Practice: estimate.Practice{"tail_mm": &tail, "head_mm": nil},
	}
	const text = ` {"core":{"alloy":"music-wire","section":"hex","size_thou":17,"across":"corners"},
		"layers":[{"alloy":"copper","section":"round","size_thou":11.5,"lay_thou":15.25},
		          {"alloy":"nickel","section":"flat","size_thou":40,"thickness_thou":8}],
		"ball_end":true,"scale_in":25.5,"pitch":82.41,"practice":{"tail_mm":120,"head_mm":null}} `
	got, err := estimate.Decode([]byte(text))
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, %v", got, err)
	}
	var plain estimate.Build // the struct's own tags must agree with Decode
	if err := json.Unmarshal([]byte(text), &plain); err != nil || !reflect.DeepEqual(plain, want) {
		t.Errorf("encoding/json gave %+v, %v", plain, err)
	}
}

func TestDecodeRefuses(t *testing.T) {
	tests := []struct {
		name, text string
		fields     []string
		says       string
	}{
		{"nothing", ``, []string{"build"}, "line 1, column 1"},
		{"broken off", "{\n \"core\":", []string{"build"}, "line 2, column 8"},
		{"two documents", `{} {}`, []string{"build"}, "not JSON"},
		{"a list", `[]`, []string{"build"}, "object"},
		{"a text", `"E4"`, []string{"build"}, "object"},
		{"core is a text", `{"core":"music-wire"}`, []string{"core"}, "object"},
		{"layers are an object", `{"layers":{}}`, []string{"layers"}, "list"},
		{"a layer is a number", `{"layers":[7]}`, []string{"layers[0]"}, "object"},
		{"wrong kinds", `{"core":{"alloy":1,"size_thou":"17"},"layers":[{},{"lay_thou":"x"}],"ball_end":"yes","scale_in":"25","pitch":[1]}`,
			[]string{"ball_end", "core.alloy", "core.size_thou", "layers[1].lay_thou", "pitch", "scale_in"}, "a number"},
		{"slips in names", `{"Core":{},"layers":[{"lay":1}],"core":{"size":1}}`, []string{"Core", "core.size", "layers[0].lay"}, "known are"},
		{"practice is a list", `{"practice":[1]}`, []string{"practice"}, "object"},
		{"practice of a text", `{"practice":{"tail_mm":"1"}}`, []string{"practice.tail_mm"}, "a number"},
		{"a number beyond numbers", `{"scale_in":1e999}`, []string{"scale_in"}, "a number"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := estimate.Decode([]byte(tt.text))
			checkFields(t, err, tt.fields)
			if !strings.Contains(err.Error(), tt.says) {
				t.Errorf("%q does not say %q", err, tt.says)
			}
		})
	}
}

// FuzzEstimate: whatever is posted, the answer is either finite numbers or a list of fields, and never a panic.
func FuzzEstimate(f *testing.F) {
	for _, seed := range []string{example, `{}`, `[]`, ``, `{"core":null,"layers":[null]}`,
		`{"core":{"alloy":"music-wire","section":"round","size_thou":10},"scale_in":25.5,"pitch":"E4"}`,
		`{"core":{"alloy":"music-wire","section":"hex","size_thou":1e-9,"across":"corners"},"scale_in":1e9,"pitch":1e9}`,
		`{"core":{"alloy":"music-wire","section":"hex","size_thou":20},"layers":[{"alloy":"copper","section":"flat","size_thou":40,"thickness_thou":4}],"scale_in":34,"pitch":"Bb0","practice":{"tail_mm":1}}`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := estimate.Decode(data)
		if err == nil {
			var a estimate.Answer
			if a, err = estimate.Of(b, builtIn, winding.DefaultAllowances()); err == nil {
				checkAnswer(t, a)
				return
			}
		}
		if invalid, ok := err.(estimate.Invalid); !ok || len(invalid) == 0 {
			t.Fatalf("refused with %T %v", err, err)
		}
	})
}

func checkAnswer(t *testing.T, a estimate.Answer) {
	t.Helper()
	if _, err := json.Marshal(a); err != nil { // refuses what is not finite
		t.Fatalf("%+v: %v", a, err)
	}
	below := 0.0
	for i, l := range a.Layers {
		if !(l.MassMg > 0 && l.Turns > 0 && l.LengthMM > 0 && l.DiameterAfterThou > below) {
			t.Fatalf("layer %d: %+v", i, l)
		}
		below = l.DiameterAfterThou
	}
	if len(a.Layers) > 0 && a.GaugeThou != below {
		t.Fatalf("gauge %v, but diameter after the last layer %v", a.GaugeThou, below)
	}
	for name, v := range map[string]float64{"gauge": a.GaugeThou, "core": a.Core.MassMg, "tension": a.TensionN, "stress": a.CoreStressMPa} {
		if !(v > 0) || math.IsInf(v, 0) {
			t.Fatalf("%s is %v", name, v)
		}
	}
}

// TestDecode_wholePractice: a shop's whole practice may come with a build; what does not touch one string is passed over.
func TestDecode_wholePractice(t *testing.T) {
	b, err := estimate.Decode([]byte(`{"core": {"alloy": "music-wire", "section": "round", "size_thou": 10}, "scale_in": 25.5, "pitch": "E4",
		"practice": {"tail_mm": 150, "change_core_min": 6, "completion_confidence": 0.9, "currency": "EUR", "scale_resolution_g": 0.01, "loss_of_drawn": 0.1, "loss_of_received": 0}}`))
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Practice) != 1 || b.Practice["tail_mm"] == nil || *b.Practice["tail_mm"] != 150 {
		t.Errorf("practice %v, want only the tail", b.Practice)
	}
}
