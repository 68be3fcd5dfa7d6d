package exports

import (
	"bytes"
	"image/png"
	"strings"
	"testing"

	"windingroom/internal/batch"
)

func TestBarcodeSymbol(t *testing.T) {
	data, modules := code128PNG("AB", &pngWorkspace{})
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	var bars strings.Builder
	for m := range modules {
		r, _, _, _ := img.At(m*moduleDots+moduleDots/2, barDots/2).RGBA()
		bars.WriteByte("10"[r/0xffff])
	}
	// Start B, A (33), B (34), check (104 + 33 + 2×34) mod 103 = 102, stop: the patterns of ISO/IEC 15417, from memory.
	const quiet = "0000000000"
	want := quiet + "11010010000" + "10100011000" + "10001011000" + "11110101110" + "1100011101011" + quiet
	if bars.String() != want {
		t.Errorf("modules\n%s, want\n%s", bars.String(), want)
	}
}

func TestEveryBenchPageHasItsBarcode(t *testing.T) {
	tests := []struct {
		name string
		code batch.Code
		want int
	}{
		{"letters and digits", "260302-bench-1-01", 1},
		{"as long as a sheet's name", "ABCDEFGHIJKLMNOPQRSTUVWXYZ-.123", 1},
		{"letters that the symbol lacks", "größe-弦", 0},
		{"no code", "", 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := plainSheet()
			s.Code = tt.code
			f := written(t, batch.Day{Sheets: []batch.Sheet{s}})
			got, err := f.GetPictures(f.GetSheetList()[2], "M1")
			if err != nil || len(got) != tt.want {
				t.Errorf("%d pictures, %v; want %d", len(got), err, tt.want)
			}
		})
	}
}
