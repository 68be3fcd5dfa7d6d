package exports

import (
	"fmt"

	"windingroom/internal/batch"
)

// head is the top of the page: the batch's code with its barcode, and where and when it is wound.
func (p *bench) head(s *batch.Sheet) {
	p.barcode(13, gridColumns-12, string(s.Code))
	p.line(40, cell{span: 12, value: string(s.Code), style: style{format: asText, size: 28, bold: true, align: "left", shrink: true}})
	p.line(14, issue(s), cell{span: 12, value: string(s.Code), style: style{format: asText, size: 9, align: "center"}})
	p.line(12, label(5, "date"), label(5, "machine"), label(3, "sequence"), label(5, "recipe"), label(3, "start"), label(3, "end"))
	p.line(20,
		left(5, s.Date, asDate).big(12), text(5, string(s.Machine)).plain().big(14), left(3, s.Sequence, asCount).big(14),
		text(5, string(s.Recipe)).plain().big(14), left(3, s.Starts, asElapsed).big(14), left(3, s.Ends, asElapsed).big(14))
	p.space()
}

// issue says which printing of the sheet this is, and which one to throw away.
func issue(s *batch.Sheet) cell {
	c := cell{span: 12, value: fmt.Sprintf("sheet version %d", s.Version), style: style{format: asText, size: 9, align: "left"}}
	if s.Version > 1 {
		c.value = fmt.Sprintf("sheet version %d, REPLACES VERSION %d", s.Version, s.Version-1)
		c.style.bold = true
	}
	return c
}

// counts is what a winder looks for first: how many, how long to cut, how far to wind.
func (p *bench) counts(s *batch.Sheet) {
	cutLabel := "cut each core to, mm"
	if s.WoundLength == 0 {
		cutLabel = "cut each wire to, mm"
	}
	p.line(12, label(7, "STRINGS TO WIND"), label(3, "ordered"), gap(1),
		label(4, cutLabel), label(3, "in"), label(4, "wind over, mm"), label(2, "in"))
	wound := [2]any{"plain", nil}
	if s.WoundLength > 0 {
		wound = [2]any{s.WoundLength.Millimetres(), s.WoundLength.Inches()}
	}
	count := cell{span: 7, value: s.ToWind, style: style{format: asCount, size: 44, bold: true, align: "center", box: thick}, down: 2}
	ordered := cell{span: 3, value: s.Ordered, style: style{format: asCount, size: 22, align: "center", box: thin}, down: 2}
	p.line(32, count, ordered, gap(1),
		figure(4, s.CoreCut.Millimetres(), asTenth).big(18), figure(3, s.CoreCut.Inches(), asInch).big(12),
		figure(4, wound[0], asTenth).big(18), figure(2, wound[1], asInch).big(12))
	p.line(20, gap(11), label(3, "scale, in"), left(4, decimal(s.Scale.InchText()), asInches).big(12), label(3, "ball end"), text(3, yesNo(s.BallEnd)).plain().big(14))
	p.space()
}
