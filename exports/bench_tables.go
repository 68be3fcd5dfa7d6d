package exports

import (
	"fmt"

	"windingroom/internal/batch"
	"windingroom/internal/material"
	"windingroom/internal/measure"
)

// loads says what goes on the machine: the core, then each wrap, innermost first.
func (p *bench) loads(s *batch.Sheet) {
	p.line(34, title(3, "LOAD"), title(5, "wire"), title(3, "section"), title(2, "size thou"), title(2, "size mm"),
		title(2, "lay thou"), title(2, "turns"), title(3, "wire per string, mm"), title(2, "diameter after, thou"))
	core := "Core"
	if len(s.Wraps) == 0 {
		core = "Wire"
	}
	p.load(core, s.Core)
	for i, w := range s.Wraps {
		p.load(fmt.Sprintf("Wrap %d", i+1), w)
	}
	p.space()
}

func (p *bench) load(what string, l batch.Load) {
	var lay, turns any
	if l.Turns > 0 {
		lay, turns = measure.Size(float64(l.Lay)*1e9+0.5).Thou(), l.Turns
	}
	p.line(max(26, 14+height(wrapped(l.AlloyName, 5, 8), 8), height(wrapped(section(l.Form), 3, 8), 8)),
		text(3, what).big(11), twoLines(5, string(l.Wire), l.AlloyName),
		cell{span: 3, value: section(l.Form), style: style{format: asText, size: 8, align: "left", box: thin, wrap: true}},
		figure(2, decimal(l.Form.Size.ThouText()), asThou).big(13), figure(2, l.Form.Size.Millimetres(), asMM),
		figure(2, lay, asThou), figure(2, turns, asTenth), figure(3, l.Length.Millimetres(), asTenth), figure(2, l.After.Thou(), asThou))
}

func section(f material.Form) string {
	switch f.Section {
	case material.Hex:
		across := f.Across
		if across == "" {
			across = material.AcrossFlats
		}
		return fmt.Sprintf("hex, across %s", across)
	case material.Flat:
		return fmt.Sprintf("flat, %s thou (%.3f mm) thick", f.Thickness.ThouText(), f.Thickness.Millimetres())
	default:
		return string(f.Section)
	}
}

// gauge gives the limits of the finished diameter beside the boxes for what is measured.
func (p *bench) gauge(s *batch.Sheet) {
	check, what := s.Check(), "gauge"
	if s.Own.Strings > 0 {
		what = "gauge, the shop's own"
	}
	least, most := check-s.Tolerance, check+s.Tolerance
	p.line(24, title(3, "CHECK"), title(3, what), title(3, "either way"), title(3, "at least"), title(3, "at most"),
		title(3, "measured at the head"), title(3, "measured midway"), title(3, "measured at the tail"))
	box := blank(3)
	box.down = 2
	p.line(20, text(3, "thou").big(11), figure(3, decimal(check.ThouText()), asThou).big(16), figure(3, decimal(s.Tolerance.ThouText()), asThou),
		figure(3, decimal(least.ThouText()), asThou).big(12), figure(3, decimal(most.ThouText()), asThou).big(12), box, box, box)
	p.line(16, text(3, "mm"), figure(3, check.Millimetres(), asMM), figure(3, s.Tolerance.Millimetres(), asMM),
		figure(3, least.Millimetres(), asMM), figure(3, most.Millimetres(), asMM))
	if s.Own.Strings > 0 {
		p.note(fmt.Sprintf("The shop's own gauge: from %d measured strings of this recipe, sure to ± %s thou. Computed from the wires: %s thou. The recipe goes by %s.",
			s.Own.Strings, s.Own.Uncertainty.ThouText(), s.Own.Computed.ThouText(), s.Gauge.ThouText()), false)
	}
	p.space()
}

// spools lists the spools in the order of use, each with what the scale should read after and a box for what it reads.
func (p *bench) spools(s *batch.Sheet) {
	p.line(24, title(3, "SPOOLS in order of use"), title(4, "spool, wire"), title(4, "place, lot"), title(2, "strings"),
		title(2, "net before, g"), title(3, "net after, g"), title(3, "scale should read, g"), title(3, "scale reads, g"))
	use := 0
	for i, d := range s.Spools {
		if use++; i > 0 && d.Wire != s.Spools[i-1].Wire {
			use = 1
		}
		p.line(26, text(3, ordinal(use)).big(11), twoLines(4, string(d.Spool), string(d.Wire)), twoLines(4, d.Location, "lot "+d.Lot),
			figure(2, d.Strings, asCount).big(13), figure(2, d.Before.Grams(), asTenth), figure(3, d.After.Grams(), asTenth),
			figure(3, (d.After+d.Tare).Grams(), asTenth).big(13), blank(3))
	}
	p.space()
}

// ordinal numbers the spools of one wire.
func ordinal(use int) string {
	if use == 1 {
		return "first"
	}
	return fmt.Sprintf("then %d", use)
}

// record is where the result is written down.
func (p *bench) record() {
	p.line(12, title(5, "RESULT: good"), title(5, "scrapped"), title(5, "minutes"), title(9, "initials"))
	p.line(28, blank(5), blank(5), blank(5), blank(9))
	p.line(12, title(gridColumns, "remarks: why scrapped, what the wire did"))
	p.line(30, blank(gridColumns))
	p.space()
}

// orders lists what the strings are for. It stands last because it is the one table that can grow long.
func (p *bench) orders(s *batch.Sheet) {
	p.line(13, title(4, "FOR order"), title(2, "line"), title(2, "position"), title(2, "strings"), title(7, "customer"), title(4, "due"), title(3, "pitch"))
	for _, f := range s.For {
		p.line(max(16, height(wrapped(f.Customer, 7, 10), 10)), text(4, string(f.Order)), figure(2, f.Line, asCount), figure(2, f.Position, asCount), figure(2, f.Strings, asCount),
			words(7, f.Customer), left(4, f.DueOn, asDate).boxed(), text(3, f.Pitch))
	}
}
