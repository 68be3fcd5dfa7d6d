package exports

import (
	"bytes"
	"image"
	"image/color"
	"image/png"

	"github.com/boombuler/barcode/code128"
	"github.com/xuri/excelize/v2"
)

// A Code 128 symbol (ISO/IEC 15417, from memory) needs ten modules of white on both sides. A module prints 0.33 mm wide
// where the place allows, which every hand scanner reads.
const (
	quietModules   = 10
	moduleDots     = 4 // picture dots to a module
	barDots        = 8 // picture dots high, stretched on the page
	modulePixels   = 1.25
	barcodePixels  = 48.0 // high, on the page
	pixelsPerPoint = 96.0 / 72
)

// barcode puts the symbol of a code in the next line's row, centred in the columns from there on. A code with
// letters that Code 128 does not have gets none: it is still there to read.
func (p *bench) barcode(column, span int, code string) {
	picture, modules := code128PNG(code, &p.png)
	if picture == nil || p.err != nil {
		return
	}
	room := float64(span * gridPixels)
	width := min(float64(modules)*modulePixels, room)
	yes := true
	p.keep(p.file.AddPictureFromBytes(p.sheet, at(column, p.row+1), &excelize.Picture{
		Extension: ".png",
		File:      picture,
		Format: &excelize.GraphicOptions{
			AltText: "barcode " + code, PrintObject: &yes, Positioning: "oneCell", OffsetX: int((room - width) / 2), OffsetY: 2,
			ScaleX: width / float64(modules*moduleDots), ScaleY: barcodePixels / barDots,
		},
	}))
}

// code128PNG draws the symbol with its quiet zones and says how many modules wide it is; nil for a text it cannot hold.
func code128PNG(code string, workspace *pngWorkspace) ([]byte, int) {
	bars, err := code128.Encode(code)
	if err != nil {
		return nil, 0
	}
	modules := bars.Bounds().Dx() + 2*quietModules
	img := image.NewPaletted(image.Rect(0, 0, modules*moduleDots, barDots), color.Palette{color.White, color.Black})
	for x := range bars.Bounds().Dx() {
		if bars.At(x, 0) != color.Black {
			continue
		}
		for dot := range moduleDots {
			for y := range barDots {
				img.SetColorIndex((quietModules+x)*moduleDots+dot, y, 1)
			}
		}
	}
	var out bytes.Buffer
	if (&png.Encoder{BufferPool: workspace}).Encode(&out, img) != nil { // a picture in memory of a sound size always encodes
		return nil, 0
	}
	return out.Bytes(), modules
}

// pngWorkspace keeps the compressor, nearly a megabyte, from one picture of a book to the next.
type pngWorkspace struct{ buffer *png.EncoderBuffer }

// Get gives the workspace to an encoder.
func (w *pngWorkspace) Get() *png.EncoderBuffer { return w.buffer }

// Put takes it back.
func (w *pngWorkspace) Put(b *png.EncoderBuffer) { w.buffer = b }
