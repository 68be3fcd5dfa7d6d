package chart

import (
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// disc draws a filled circle for a point.
type disc struct{}

// DrawGlyph draws it.
func (disc) DrawGlyph(c *draw.Canvas, s draw.GlyphStyle, at vg.Point) {
	c.SetColor(s.Color)
	var p vg.Path
	p.Move(vg.Point{X: at.X + s.Radius, Y: at.Y})
	p.Arc(at, s.Radius, 0, 2*math.Pi)
	p.Close()
	c.Fill(p)
}
