package wire

import (
	"fmt"
	"image/color"
	"strings"

	"github.com/boombuler/barcode"
	"github.com/boombuler/barcode/code128"
	"github.com/boombuler/barcode/qr"
)

// symbol is a bar code or a QR code as dark modules of a drawing, quiet zone included.
type symbol struct {
	Width, Height int    // in modules
	Across        string // printed width in millimetres
	Dark          string // path of the dark modules
}

// The symbols of ISO/IEC 15417 (Code 128) and 18004 (QR) want ten and four modules of white around them (both from memory). A module
// of 0.33 mm is read by every hand scanner; a long code is printed narrower where it would not fit its label.
const (
	barsQuiet, squareQuiet = 10, 4
	moduleMM               = .33
	mostBarsMM             = 56.0
)

// barCode draws a code as bars one module high, to be stretched.
func barCode(code string) (symbol, error) {
	bars, err := code128.Encode(code)
	if err != nil {
		return symbol{}, fmt.Errorf("bar code of %s: %w", code, err)
	}
	s := drawn(bars, barsQuiet, 0)
	s.Height = 1
	s.Across = fmt.Sprintf("%.2fmm", min(moduleMM*float64(s.Width), mostBarsMM))
	return s, nil
}

// qrCode draws a code as a square that a camera reads, with a quarter of it to spare.
func qrCode(code string) (symbol, error) {
	square, err := qr.Encode(code, qr.Q, qr.Auto)
	if err != nil {
		return symbol{}, fmt.Errorf("QR code of %s: %w", code, err)
	}
	return drawn(square, squareQuiet, squareQuiet), nil
}

// drawn makes runs of dark modules, row by row.
func drawn(b barcode.Barcode, quietX, quietY int) symbol {
	size := b.Bounds()
	s := symbol{Width: size.Dx() + 2*quietX, Height: size.Dy() + 2*quietY}
	dark := func(x, y int) bool { return x < size.Dx() && b.At(x, y) == color.Black }
	var path strings.Builder
	for y := range size.Dy() {
		for x := 0; x < size.Dx(); x++ {
			run := 0
			for dark(x+run, y) {
				run++
			}
			if run > 0 {
				fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", quietX+x, quietY+y, run, run)
				x += run
			}
		}
	}
	s.Dark = path.String()
	return s
}
