package material

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/measure"
)

func TestMusicWireMinimum(t *testing.T) {
	tests := []struct {
		name    string
		thou    float64
		wantKSI float64
	}{
		{"a row", 10, 387},
		{"first row", 4, 439},
		{"last row", 250, 230},
		{"half way between rows", 10.5, (387 + 382) / 2.0},
		{"a quarter of a wide gap", 16.5, 362 - 6.0/4},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := MusicWireMinimum(measure.Length(tt.thou * 25.4e-6)).KSI()
			if math.Abs(got-tt.wantKSI) > 1e-6 {
				t.Errorf("got %v ksi, want %v", got, tt.wantKSI)
			}
		})
	}
}

func TestMusicWireOutsideTheTable(t *testing.T) {
	for _, mm := range []float64{0.09, 6.5} { // .0035 in and .256 in
		d := measure.Length(mm / 1000)
		want := 2211 / math.Pow(mm, 0.145)
		if got := MusicWireMinimum(d).Megapascals(); math.Abs(got-want) > 1e-9*want {
			t.Errorf("at %v mm: got %v MPa, want the fit %v", mm, got, want)
		}
		if _, ok := MusicWireMaximum(d); ok {
			t.Errorf("at %v mm: a maximum where the table has none", mm)
		}
	}
}

func TestFitLiesOneToTwoPercentAboveTheMinimum(t *testing.T) {
	for _, row := range a228 {
		if row.thou > 40 {
			break
		}
		d := measure.Length(row.thou * 25.4e-6)
		if above := float64(FittedTensile(d)/MusicWireMinimum(d)) - 1; above < 0.008 || above > 0.019 {
			t.Errorf("at %v thou the fit lies %.4f above the minimum, want 0.009 to 0.018", row.thou, above)
		}
	}
}

func TestStrengthTableIsInOrder(t *testing.T) {
	for i, row := range a228 {
		if row.max <= row.min {
			t.Errorf("%v thou: maximum %v is not above minimum %v", row.thou, row.max, row.min)
		}
		if i > 0 && (row.thou <= a228[i-1].thou || row.min >= a228[i-1].min || row.max >= a228[i-1].max) {
			t.Errorf("%v thou: thicker wire must be weaker than the row before", row.thou)
		}
	}
}

func TestThickerMusicWireIsNeverStronger(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Int64Range(int64(4*measure.Thou), int64(250*measure.Thou)-1).Draw(t, "a")
		b := rapid.Int64Range(a+1, int64(250*measure.Thou)).Draw(t, "b")
		if MusicWireMinimum(measure.Size(b).Metres()) > MusicWireMinimum(measure.Size(a).Metres()) {
			t.Fatalf("%v is stronger than %v", measure.Size(b), measure.Size(a))
		}
	})
}

func TestMinimumTensile(t *testing.T) {
	steel := Alloy{Code: "music-wire", Strength: ASTMA228}
	round10 := Form{Section: Round, Size: 10 * measure.Thou}
	got, ok := steel.MinimumTensile(round10)
	if want := measure.FromKSI(387); !ok || got != want {
		t.Errorf("round .010: got %v %v, want %v", got, ok, want)
	}
	hexOfEqualArea := Form{Section: Hex, Size: measure.Size(math.Round(float64(10*measure.Thou) / 1.0500751))}
	if hex, ok := steel.MinimumTensile(hexOfEqualArea); !ok || math.Abs(float64(hex/got)-1) > 1e-5 {
		t.Errorf("hex of equal area: got %v %v, want %v", hex, ok, got)
	}
	if _, ok := (Alloy{Code: "own-core", Core: true}).MinimumTensile(round10); ok {
		t.Error("an alloy without a table was given a strength")
	}
	if _, ok := steel.MinimumTensile(Form{Section: Flat, Size: 40 * measure.Thou, Thickness: 10 * measure.Thou}); ok {
		t.Error("a flat wire was given a strength")
	}
}

func TestDiameterToleranceEnds(t *testing.T) {
	for _, d := range []measure.Size{4*measure.Thou - 1, 250*measure.Thou + 1} {
		if got, ok := DiameterTolerance(d); ok {
			t.Errorf("%v has a tolerance of %v outside the table", d, got)
		}
	}
}
