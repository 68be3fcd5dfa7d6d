package intake

import (
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
)

type spoolRow struct {
	at
	spool stock.Spool
	cost  string
}

func (f *Folder) takeSpool(r *row) {
	s := stock.Spool{
		Code:       stock.SpoolCode(r.code("spool")),
		Wire:       material.WireCode(r.code("wire")),
		Lot:        r.words("lot", "the supplier's lot"),
		ReceivedOn: r.date("received_on"),
		Gross:      r.grams("gross_g", measure.Milligram),
		Tare:       r.grams("tare_g", 0),
		Location:   r.text("location"),
	}
	if r.sound("gross_g", "tare_g") {
		switch {
		case s.Gross < s.Tare:
			r.fail("gross_g", "%s is below the tare of %s; gross is wire and spool together", s.Gross.GramText(), s.Tare)
		case s.Gross == s.Tare:
			r.fail("gross_g", "%s is the tare, so there is no wire; gross is wire and spool together", s.Gross.GramText())
		}
	}
	cost := r.amount("cost")
	f.spools = append(f.spools, spoolRow{r.at(), s, cost})
}

func (r *resolution) takeSpools() {
	spools := newShelf("spool", spoolsFile, r.known.Spools, func(s stock.Spool) string { return string(s.Code) })
	for _, row := range r.folder.spools {
		s := row.spool
		wire, sound := refer(r, &r.wires, spoolsFile, row.line, "wire", string(s.Wire))
		cost, costSound := r.amount(spoolsFile, row.line, "cost", row.cost)
		if s.Code == "" {
			continue
		}
		it, first := claim(r, &spools, row.at, "spool", string(s.Code))
		if !first {
			continue
		}
		s.Code, s.Wire, s.Cost = stock.SpoolCode(it.code), material.WireCode(wire.code), cost
		sound = sound && costSound && !row.bad
		spools.put(it, s, sound)
		switch {
		case !sound:
		case it.known:
			r.sameReceipt(row.at, it.value, s)
		case r.count(spoolsFile, false, false):
			r.facts.Spools = append(r.facts.Spools, s)
		}
	}
}

// sameReceipt tells where a spool that is already here comes with other figures. Its location is not compared: a spool
// is carried about after it was received.
func (r *resolution) sameReceipt(a at, here, s stock.Spool) {
	column, have := "", ""
	switch {
	case s.Wire != here.Wire:
		column, have = "wire", string(here.Wire)
	case s.Lot != here.Lot:
		column, have = "lot", here.Lot
	case s.ReceivedOn != here.ReceivedOn:
		column, have = "received_on", here.ReceivedOn.String()
	case s.Gross != here.Gross:
		column, have = "gross_g", here.Gross.GramText()
	case s.Tare != here.Tare:
		column, have = "tare_g", here.Tare.GramText()
	case s.Cost != here.Cost:
		column, have = "cost", r.known.Practice.Currency.Text(here.Cost)
	default:
		r.count(spoolsFile, true, true)
		return
	}
	r.fail(spoolsFile, a.line, column,
		"spool %s is already here with %s; a receipt that is already here is corrected by weighing or in the books, not by importing again", s.Code, have)
}
