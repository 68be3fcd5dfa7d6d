package exports

import (
	"fmt"

	"windingroom/internal/batch"
	"windingroom/internal/measure"
)

// beforeWinding is read before the chuck turns, so it stands above what is to be done. The hazards are those of rotating
// spindles and wire under tension: 29 CFR 1910.212 on guarding of rotating parts and nip points, 1910.133 on eye
// protection (both read in a copy); no gloves at a turning spindle is common practice, borne out by California FACE report
// 02CA009 (read in a copy).
const beforeWinding = "Guards closed. Eye protection on: a broken core or a loose wrap end whips. " +
	"No gloves, loose sleeves, rings or hanging hair near the turning chuck."

// heavy is from where a spool gets a caution of its own: a judgement, no source.
const heavy = 3 * measure.Kilogram

// strip is one caution across the page.
func (p *bench) strip(caution string) {
	p.line(28, cell{span: gridColumns, value: caution, style: style{format: asText, size: 10, bold: true, align: "left", wrap: true, box: thick, fill: pale}})
	p.space()
}

// notes are the remaining cautions, the batch's own first.
func (p *bench) notes(s *batch.Sheet) {
	for _, n := range s.Cautions {
		p.note(n.String(), true)
	}
	if alloy, said := nickelWrap(s); said {
		p.note(fmt.Sprintf("Nickel may sensitise skin (wrap: %s). Wash hands after handling; gloves only while nothing turns.", alloy), false)
	} else if alloy != "" {
		p.note(fmt.Sprintf("Nobody has said whether there is nickel at the surface of %s: it may sensitise skin. Wash hands after handling; gloves only while nothing turns.", alloy), false)
	}
	if heaviest := heaviestSpool(s); heaviest >= heavy {
		p.note(fmt.Sprintf("Heavy spools: up to %.1f kg here, reel included. Carry low and with both hands, and fetch help if it is too much.", heaviest.Kilograms()), false)
	}
	p.note("Local safety rules and qualified people come before this sheet. Lengths and masses are planning figures until the shop has calibrated them by weighing.", false)
	p.space()
}

func (p *bench) note(text string, own bool) {
	const size = 9
	p.line(height(wrapped(text, gridColumns, size), size),
		cell{span: gridColumns, value: text, style: style{format: asText, size: size, bold: own, align: "left", wrap: true}})
}

// nickelWrap names the alloy of the first wrap that has nickel at its surface, else of the first of which nobody has said; empty for none.
func nickelWrap(s *batch.Sheet) (alloy string, said bool) {
	for _, w := range s.Wraps {
		if w.Nickel {
			return w.AlloyName, true
		}
		if w.Unsaid && alloy == "" {
			alloy = w.AlloyName
		}
	}
	return alloy, false
}

// heaviestSpool gives the greatest gross mass that has to be lifted.
func heaviestSpool(s *batch.Sheet) measure.Mass {
	var most measure.Mass
	for _, d := range s.Spools {
		most = max(most, d.Before+d.Tare)
	}
	return most
}
