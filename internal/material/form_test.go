package material

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/measure"
)

func TestFormCheck(t *testing.T) {
	const thou = measure.Thou
	tests := []struct {
		name  string
		form  Form
		field string // empty: nothing wrong
	}{
		{"round", Form{Section: Round, Size: 10 * thou}, ""},
		{"hex over corners", Form{Section: Hex, Size: 18 * thou, Across: AcrossCorners}, ""},
		{"hex over flats, said", Form{Section: Hex, Size: 18 * thou, Across: AcrossFlats}, ""},
		{"ribbon", Form{Section: Flat, Size: 45 * thou, Thickness: 10 * thou}, ""},
		{"square ribbon", Form{Section: Flat, Size: 10 * thou, Thickness: 10 * thou}, ""},
		{"finest", Form{Section: Round, Size: thinnest}, ""},
		{"thickest", Form{Section: Round, Size: thickest}, ""},
		{"no section", Form{Size: 10 * thou}, "section"},
		{"unknown section", Form{Section: "square", Size: 10 * thou}, "section"},
		{"no size", Form{Section: Round}, "size_thou"},
		{"negative", Form{Section: Hex, Size: -1}, "size_thou"},
		{"too fine", Form{Section: Round, Size: thinnest - 1}, "size_thou"},
		{"too thick", Form{Section: Round, Size: thickest + 1}, "size_thou"},
		{"ribbon without thickness", Form{Section: Flat, Size: 45 * thou}, "thickness_thou"},
		{"ribbon thicker than wide", Form{Section: Flat, Size: 10 * thou, Thickness: 11 * thou}, "thickness_thou"},
		{"ribbon of negative thickness", Form{Section: Flat, Size: 10 * thou, Thickness: -1}, "thickness_thou"},
		{"foil", Form{Section: Flat, Size: 10 * thou, Thickness: 1}, "thickness_thou"},
		{"round with thickness", Form{Section: Round, Size: 10 * thou, Thickness: thou}, "thickness_thou"},
		{"corners of a round", Form{Section: Round, Size: 10 * thou, Across: AcrossCorners}, "across"},
		{"across what", Form{Section: Hex, Size: 10 * thou, Across: "points"}, "across"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			err := tt.form.Check()
			var got FieldErrors
			if errors.As(err, &got); tt.field == "" && err != nil || tt.field != "" && (len(got) != 1 || got[0].Field != tt.field) {
				t.Errorf("got %v, want field %q", err, tt.field)
			}
		})
	}
}

func TestFormCheckFindsAll(t *testing.T) {
	err := Form{Section: "square", Size: -1, Thickness: 1, Across: "points"}.Check()
	want := "section must be round, hex or flat; size_thou must be more than zero; " +
		"thickness_thou belongs to a flat wire only; across must be flats or corners"
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

// TestHexEitherWay: a hexagon measured over its corners is the same hexagon.
func TestHexEitherWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		corners := measure.Size(rapid.Int64Range(int64(4*measure.Thou), int64(100*measure.Thou)).Draw(t, "corners"))
		flats := measure.Size(math.Round(float64(corners) * math.Sqrt(3) / 2))
		a := Form{Section: Hex, Size: corners, Across: AcrossCorners}
		b := Form{Section: Hex, Size: flats}
		for name, pair := range map[string][2]float64{
			"area":         {float64(a.Area()), float64(b.Area())},
			"perimeter":    {float64(a.PerimeterDiameter()), float64(b.PerimeterDiameter())},
			"over corners": {float64(a.OverCorners()), float64(b.OverCorners())},
			"equal area":   {float64(a.AreaDiameter()), float64(b.AreaDiameter())},
		} {
			if math.Abs(pair[0]/pair[1]-1) > 2e-5 { // flats are rounded to the nanometre
				t.Fatalf("%s: %v over corners, %v over flats", name, pair[0], pair[1])
			}
		}
	})
}

func TestHexIsStifferThanTheRoundOfEqualArea(t *testing.T) {
	hex := Form{Section: Hex, Size: measure.Millimetre}
	round := math.Pi / 64 * math.Pow(float64(hex.AreaDiameter()), 4)
	if ratio := hex.SecondMoment() / round; math.Abs(ratio-1.0077) > 5e-5 {
		t.Errorf("ratio of second moments is %v, want 1.0077", ratio)
	}
}

func TestHeight(t *testing.T) {
	if got := (Form{Section: Flat, Size: 45 * measure.Thou, Thickness: 10 * measure.Thou}).Height(); math.Abs(got.Thou()-10) > 1e-9 {
		t.Errorf("a ribbon adds its thickness, got %v", got)
	}
	if got := (Form{Section: Round, Size: 45 * measure.Thou}).Height(); math.Abs(got.Thou()-45) > 1e-9 {
		t.Errorf("a round wire adds its diameter, got %v", got)
	}
}
