package wire

import (
	"cmp"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
)

// formText tells the section and the size of a wire: "round 13.5 thou", "flat 24.0 × 12.0 thou".
func formText(u units.Units, f material.Form) string {
	text := string(f.Section) + " " + sizeText(u, f)
	if f.Section == material.Hex && f.Across == material.AcrossCorners {
		text += " over corners"
	}
	return text
}

func sizeText(u units.Units, f material.Form) string {
	if f.Section == material.Flat {
		return u.Size(f.Size).Number + " × " + u.Size(f.Thickness).String()
	}
	return u.Size(f.Size).String()
}

// spoolTags are the states of a spool that someone should know before taking it.
func spoolTags(b stock.Balance) []page.Tag {
	var tags []page.Tag
	if b.State == stock.Quarantined {
		tags = append(tags, page.Tag{Text: "quarantine", Tone: page.Wrong})
	}
	switch {
	case b.Mass == 0:
		tags = append(tags, page.Tag{Text: "empty"})
	case b.Remnant():
		tags = append(tags, page.Tag{Text: "remnant", Tone: page.Wait})
	}
	return tags
}

// fillOf is how full a spool is, with what batches hold of it.
func fillOf(u units.Units, b stock.Balance) *page.Fill {
	f := page.Of("spool "+string(b.Code)+": "+u.Mass(b.Free()).String()+" free of "+u.Mass(b.Net()).String(), float64(b.Mass), float64(b.Net()))
	if b.Net() > 0 {
		f.Marked = float64(b.Allocated) / float64(b.Net())
	}
	switch {
	case b.State == stock.Quarantined:
		f.Tone = page.Wrong
	case b.Remnant():
		f.Tone = page.Wait
	}
	return &f
}

// massCell is a mass in a column whose head names the unit.
func massCell(u units.Units, m measure.Mass) page.Cell { return page.Text(u.Mass(m).Number) }

// placeText tells where a spool stands.
func placeText(b stock.Balance) string { return cmp.Or(b.Location, "not noted") }

// off tells a difference: "2.0 g less", "1.5 g more".
func off(u units.Units, m measure.Mass) string {
	if m < 0 {
		return u.Mass(-m).String() + " less"
	}
	return u.Mass(m).String() + " more"
}
