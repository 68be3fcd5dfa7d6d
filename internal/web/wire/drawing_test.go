package wire

import (
	"fmt"
	"image/color"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/boombuler/barcode"
	"github.com/boombuler/barcode/code128"
	"github.com/boombuler/barcode/qr"
)

var runOf = regexp.MustCompile(`M(\d+) (\d+)h(\d+)v1h-\d+z`)

// TestSymbols reads drawn symbols back, module by module.
func TestSymbols(t *testing.T) {
	for _, code := range []string{"S401", "0011", "SPOOL-2026_03.17", "S" + strings.Repeat("9", 40)} {
		bars, err := code128.Encode(code)
		if err != nil {
			t.Fatal(err)
		}
		drawnBars, err := barCode(code)
		if err != nil {
			t.Fatal(err)
		}
		sameModules(t, bars, drawnBars, barsQuiet, 0, 1)
		if across, _ := strconv.ParseFloat(strings.TrimSuffix(drawnBars.Across, "mm"), 64); across <= 0 || across > mostBarsMM {
			t.Errorf("%s is %s wide", code, drawnBars.Across)
		}
		square, err := qr.Encode(code, qr.Q, qr.Auto)
		if err != nil {
			t.Fatal(err)
		}
		drawnSquare, err := qrCode(code)
		if err != nil {
			t.Fatal(err)
		}
		sameModules(t, square, drawnSquare, squareQuiet, squareQuiet, square.Bounds().Dy())
	}
	if _, err := barCode("Spule-ä"); err == nil {
		t.Error("a letter that Code 128 does not have was drawn")
	}
}

func sameModules(t *testing.T, b barcode.Barcode, s symbol, quietX, quietY, rows int) {
	t.Helper()
	dark := map[[2]int]bool{}
	for _, m := range runOf.FindAllStringSubmatch(s.Dark, -1) {
		x, _ := strconv.Atoi(m[1])
		y, _ := strconv.Atoi(m[2])
		n, _ := strconv.Atoi(m[3])
		for i := range n {
			dark[[2]int{x + i - quietX, y - quietY}] = true
		}
	}
	want := 0
	for y := range rows {
		for x := range b.Bounds().Dx() {
			is := b.At(x, y) == color.Black
			if is {
				want++
			}
			if is != dark[[2]int{x, y}] {
				t.Fatalf("module %d, %d of %s: dark %v", x, y, b.Content(), !is)
			}
		}
	}
	if len(dark) != want || s.Width != b.Bounds().Dx()+2*quietX {
		t.Errorf("%s: %d dark modules, want %d; %d wide", b.Content(), len(dark), want, s.Width)
	}
}

func TestFlow(t *testing.T) {
	f := newFlow("From", "To")
	a, b := f.box(0, node{key: "a", text: "a"}), f.box(0, node{key: "b", text: "b"})
	for i := range mostBoxes + 3 {
		from := b
		if i%2 == 0 {
			from = a
		}
		to := f.box(1, node{key: fmt.Sprint(i), text: "a name that is far too long for its box"})
		f.line(from, to)
		f.line(from, to)
	}
	if again := f.box(0, node{key: "a", text: "a"}); again != a {
		t.Errorf("%q is %q the second time", a, again)
	}
	d := f.draw("title", "desc")
	if d.Hidden != 3 || len(d.Boxes) != 2+mostBoxes || len(d.Lines) != mostBoxes {
		t.Errorf("%d hidden, %d boxes, %d lines", d.Hidden, len(d.Boxes), len(d.Lines))
	}
	from := map[int]int{} // by height of their end
	for _, line := range d.Lines {
		var n [8]int
		if _, err := fmt.Sscanf(line, "M%d %dC%d %d %d %d %d %d", &n[0], &n[1], &n[2], &n[3], &n[4], &n[5], &n[6], &n[7]); err != nil {
			t.Fatal(line, err)
		}
		from[n[7]] = n[1]
	}
	before := 0
	for _, end := range slices.Sorted(maps.Keys(from)) {
		if from[end] < before {
			t.Errorf("the line that ends at %d crosses another", end)
		}
		before = from[end]
	}
	for _, x := range d.Boxes {
		if len([]rune(x.Text)) > mostName || x.X+boxWidth > d.Width || x.Y+boxHeight > d.Height {
			t.Errorf("%+v does not fit %d × %d", x, d.Width, d.Height)
		}
	}
}
