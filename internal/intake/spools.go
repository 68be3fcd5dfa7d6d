package intake

import (
	"fmt"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
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
		if wrong := noWire(s); wrong != "" {
			r.fail("gross_g", "%s", wrong)
		}
	}
	cost := r.amount("cost")
	f.spools = append(f.spools, spoolRow{r.at(), s, cost})
}

// noWire says that a spool weighs no more than its tare, or nothing.
func noWire(s stock.Spool) string {
	switch {
	case s.Gross < s.Tare:
		return fmt.Sprintf("%s is below the tare of %s; gross is wire and spool together", s.Gross.GramText(), s.Tare)
	case s.Gross == s.Tare:
		return fmt.Sprintf("%s is the tare, so there is no wire; gross is wire and spool together", s.Gross.GramText())
	}
	return ""
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

// sameReceipt tells where a spool that is already here comes with other figures.
func (r *resolution) sameReceipt(a at, here, s stock.Spool) {
	column, have := differs(s, here, r.known.Practice.Currency)
	if column == "" {
		r.count(spoolsFile, true, true)
		return
	}
	r.fail(spoolsFile, a.line, column, otherFigures+", not by importing again", s.Code, have)
}

const otherFigures = "spool %s is already here with %s; a receipt that is already here is corrected by weighing or in the books"

// differs gives the first column in which a spool comes with other figures than those here, and what is here. Its location is
// not compared: a spool is carried about after it was received.
func differs(s, here stock.Spool, c money.Currency) (column, have string) {
	switch {
	case s.Wire != here.Wire:
		return "wire", string(here.Wire)
	case s.Lot != here.Lot:
		return "lot", here.Lot
	case s.ReceivedOn != here.ReceivedOn:
		return "received_on", here.ReceivedOn.String()
	case s.Gross != here.Gross:
		return "gross_g", here.Gross.GramText()
	case s.Tare != here.Tare:
		return "tare_g", here.Tare.GramText()
	case s.Cost != here.Cost:
		return "cost", c.Text(here.Cost)
	}
	return "", ""
}
