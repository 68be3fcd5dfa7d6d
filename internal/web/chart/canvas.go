package chart

import (
	"fmt"
	"html/template"
	"image"
	"image/color"
	"math"
	"strings"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// Ink is a colour by its name in the style sheet: .fill-NAME and .line-NAME.
type Ink string

// The inks.
const (
	First  Ink = "first"
	Second Ink = "second"
	Third  Ink = "third"
	Band   Ink = "band"
	Limit  Ink = "limit"
	Axis   Ink = "axis"
	Grid   Ink = "grid"
)

// RGBA makes an ink a colour for the plot, which only passes it on.
func (Ink) RGBA() (r, g, b, a uint32) { return color.Black.RGBA() }

// canvas is a vg.Canvas that writes SVG without any style of its own, so that it needs no exception from the pages' policy.
type canvas struct {
	b      strings.Builder
	now    state
	before []state
}

// state is what Push keeps. The matrix maps a point of the plot to one of the drawing: x' = ax + cy + e, y' = bx + dy + f.
type state struct {
	ink              Ink
	width            vg.Length
	dashes           []vg.Length
	a, b, c, d, e, f float64
}

var _ vg.Canvas = (*canvas)(nil)

func newCanvas(about About) *canvas {
	c := &canvas{now: state{ink: Axis, width: 1, a: 1, d: -1, f: height}} // a plot's origin is below, a drawing's above
	title, desc := about.ID+"-title", about.ID+"-desc"
	fmt.Fprintf(&c.b, `<svg viewBox="0 0 %d %d" role="img" aria-labelledby="%s" aria-describedby="%s">`, width, height, escape(title), escape(desc))
	fmt.Fprintf(&c.b, `<title id="%s">%s</title><desc id="%s">%s</desc>`, escape(title), escape(about.Title), escape(desc), escape(about.Desc))
	return c
}

// html ends the drawing. All text in it went through escape.
func (c *canvas) html() template.HTML { return template.HTML(c.b.String() + "</svg>") }

func escape(text string) string { return template.HTMLEscapeString(text) }

func (c *canvas) SetLineWidth(w vg.Length)                     { c.now.width = w }
func (c *canvas) SetLineDash(pattern []vg.Length, _ vg.Length) { c.now.dashes = pattern }
func (c *canvas) Push()                                        { c.before = append(c.before, c.now) }

func (c *canvas) Pop() {
	c.now = c.before[len(c.before)-1]
	c.before = c.before[:len(c.before)-1]
}

// SetColor takes an ink; any other colour is that of axes.
func (c *canvas) SetColor(clr color.Color) {
	ink, ok := clr.(Ink)
	if !ok {
		ink = Axis
	}
	c.now.ink = ink
}

func (c *canvas) Rotate(rad float64) {
	s := c.now
	sin, cos := math.Sincos(rad)
	c.now.a, c.now.b = s.a*cos+s.c*sin, s.b*cos+s.d*sin
	c.now.c, c.now.d = s.c*cos-s.a*sin, s.d*cos-s.b*sin
}

func (c *canvas) Translate(p vg.Point) { c.now.e, c.now.f = c.at(p) }

func (c *canvas) Scale(x, y float64) {
	c.now.a, c.now.b, c.now.c, c.now.d = c.now.a*x, c.now.b*x, c.now.c*y, c.now.d*y
}

func (c *canvas) at(p vg.Point) (x, y float64) {
	px, py := float64(p.X), float64(p.Y)
	return c.now.a*px + c.now.c*py + c.now.e, c.now.b*px + c.now.d*py + c.now.f
}

func (c *canvas) Stroke(p vg.Path) {
	if c.now.width <= 0 {
		return
	}
	fmt.Fprintf(&c.b, `<path class="line-%s" fill="none" stroke-width="%s"`, c.now.ink, num(float64(c.now.width)))
	if len(c.now.dashes) > 0 {
		var list []string
		for _, d := range c.now.dashes {
			list = append(list, num(float64(d)))
		}
		fmt.Fprintf(&c.b, ` stroke-dasharray="%s"`, strings.Join(list, " "))
	}
	fmt.Fprintf(&c.b, ` d="%s"/>`, c.path(p))
}

func (c *canvas) Fill(p vg.Path) {
	fmt.Fprintf(&c.b, `<path class="fill-%s" d="%s"/>`, c.now.ink, c.path(p))
}

// FillString writes a line of text as wide as the plot reckoned with, whatever font the page has.
func (c *canvas) FillString(f font.Face, at vg.Point, text string) {
	if f.Font.Size <= 0 || text == "" {
		return
	}
	x, y := c.at(at)
	fmt.Fprintf(&c.b, `<text class="fill-%s" font-size="%s" textLength="%s" lengthAdjust="spacingAndGlyphs" transform="matrix(%s %s %s %s %s %s)">%s</text>`,
		c.now.ink, num(float64(f.Font.Size)), num(float64(f.Width(text))), num(c.now.a), num(c.now.b), num(-c.now.c), num(-c.now.d), num(x), num(y), escape(text))
}

// DrawImage draws nothing: no chart of a page holds one.
func (c *canvas) DrawImage(vg.Rectangle, image.Image) {}

func (c *canvas) path(p vg.Path) string {
	var b strings.Builder
	point := func(letter string, points ...vg.Point) {
		b.WriteString(letter)
		for i, pt := range points {
			x, y := c.at(pt)
			if i > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(num(x) + " " + num(y))
		}
	}
	for i, s := range p {
		switch s.Type {
		case vg.MoveComp:
			point("M", s.Pos)
		case vg.LineComp:
			point("L", s.Pos)
		case vg.CurveComp:
			if len(s.Control) == 1 {
				point("Q", s.Control[0], s.Pos)
			} else {
				point("C", s.Control[0], s.Control[1], s.Pos)
			}
		case vg.ArcComp:
			c.arc(point, s, i == 0)
		case vg.CloseComp:
			b.WriteByte('Z')
		}
	}
	return b.String()
}

// arc draws a part of a circle as short chords: the circles of a chart are small.
func (c *canvas) arc(point func(string, ...vg.Point), s vg.PathComp, first bool) {
	const chords = 16
	for i := range chords + 1 {
		sin, cos := math.Sincos(s.Start + s.Angle*float64(i)/chords)
		letter := "L"
		if first && i == 0 {
			letter = "M"
		}
		point(letter, vg.Point{X: s.Pos.X + s.Radius*vg.Length(cos), Y: s.Pos.Y + s.Radius*vg.Length(sin)})
	}
}

// num prints a length of the drawing to the hundredth of a point.
func num(v float64) string {
	text := fmt.Sprintf("%.2f", v)
	text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	if text == "-0" {
		return "0"
	}
	return text
}
