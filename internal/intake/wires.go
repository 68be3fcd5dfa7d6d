package intake

import (
	"errors"

	"windingroom/internal/material"
	"windingroom/internal/measure"
)

type wireRow struct {
	at
	wire  material.Wire
	price string // per kg; empty where none is known
}

func (f *Folder) takeWire(r *row) {
	w := wireRow{wire: material.Wire{
		Code:      material.WireCode(r.code("wire")),
		Alloy:     material.AlloyCode(r.code("alloy")),
		Form:      r.form(),
		UsableEnd: r.grams("usable_end_g", 0),
		Supplier:  r.codeGiven("supplier"),
	}}
	// Only a wire that nobody supplies may leave pack and price open.
	bought := w.wire.Supplier != ""
	if _, given := r.given("pack_kg"); given || bought {
		w.wire.Pack = r.kilograms("pack_kg", measure.Milligram)
	}
	if _, given := r.given("price_per_kg"); given || bought {
		w.price = r.amount("price_per_kg")
	}
	w.at = r.at()
	f.wires = append(f.wires, w)
}

// form reads section and sizes.
func (r *row) form() material.Form {
	form := material.Form{
		Section: material.Section(r.oneOf("section", string(material.Round), string(material.Hex), string(material.Flat))),
		Size:    r.thou("size_thou"),
	}
	form.Thickness = r.thouGiven("thickness_thou")
	if _, given := r.given("across"); given {
		form.Across = material.Across(r.oneOf("across", string(material.AcrossFlats), string(material.AcrossCorners)))
	}
	if !r.sound("section", "size_thou", "thickness_thou", "across") {
		return form
	}
	form = plainForm(form)
	var e material.FieldError
	if errors.As(form.Check(), &e) {
		r.fail(e.Field, "%s", e.Problem)
	}
	return form
}

// plainForm writes a form in the one way in which forms compare: only a hexagon says across what it was measured.
func plainForm(f material.Form) material.Form {
	switch {
	case f.Section == material.Hex && f.Across == "":
		f.Across = material.AcrossFlats
	case f.Section != material.Hex && f.Across == material.AcrossFlats:
		f.Across = ""
	}
	return f
}

func (r *resolution) takeWires() {
	spools := r.spoolOfWire()
	for _, row := range r.folder.wires {
		w := row.wire
		if w.Code == "" {
			continue
		}
		it, first := claim(r, &r.wires, row.at, "wire", string(w.Code))
		if !first {
			continue
		}
		w.Code = material.WireCode(it.code)
		alloy, sound := refer(r, &r.alloys, wiresFile, row.line, "alloy", string(w.Alloy))
		w.Alloy = material.AlloyCode(alloy.code)
		supplier, _ := refer(r, &r.suppliers, wiresFile, row.line, "supplier", w.Supplier)
		w.Supplier = supplier.code
		w.PricePerKg, _ = r.amount(wiresFile, row.line, "price_per_kg", row.price)

		old := it.value
		old.Form = plainForm(old.Form)
		sound = sound && !row.bad
		if spool, held := spools[key(w.Code)]; held && sound {
			r.keepPhysical(row.at, old, w, spool)
		}
		it.other = it.known && (w.Alloy != old.Alloy || w.Form != old.Form)
		r.wires.put(it, w, sound)
		if sound && r.count(wiresFile, it.known, w == old) {
			r.facts.Wires = append(r.facts.Wires, w)
		}
	}
}

// keepPhysical tells where a row would turn wire that lies on the rack into another one.
func (r *resolution) keepPhysical(a at, old, w material.Wire, spool string) {
	column, from, to := "", "", ""
	switch {
	case key(w.Alloy) != key(old.Alloy):
		column, from, to = "alloy", string(old.Alloy), string(w.Alloy)
	case w.Form.Section != old.Form.Section:
		column, from, to = "section", string(old.Form.Section), string(w.Form.Section)
	case w.Form.Size != old.Form.Size:
		column, from, to = "size_thou", old.Form.Size.ThouText(), w.Form.Size.ThouText()
	case w.Form.Thickness != old.Form.Thickness:
		column, from, to = "thickness_thou", old.Form.Thickness.ThouText(), w.Form.Thickness.ThouText()
	case w.Form.Across != old.Form.Across:
		column, from, to = "across", string(old.Form.Across), string(w.Form.Across)
	default:
		return
	}
	r.fail(wiresFile, a.line, column, "%s cannot become %s while spool %s holds this wire; give the other wire a code of its own", from, to, spool)
}

// spoolOfWire gives the first spool that the shop has of each wire.
func (r *resolution) spoolOfWire() map[string]string {
	spools := make(map[string]string)
	for _, s := range r.known.Spools {
		k := key(s.Wire)
		if have, ok := spools[k]; !ok || string(s.Code) < have {
			spools[k] = string(s.Code)
		}
	}
	return spools
}
