package intake

import (
	"fmt"
	"io"

	"windingroom/internal/stock"
)

// deliverySpec is a delivery's rows: the columns of spools.csv, of which some may be left out or empty.
var deliverySpec = spec{"a delivery", []string{"spool", "wire", "lot", "gross_g", "received_on", "tare_g", "cost", "location", "spool_type"}, 5}

// Delivery is the rows of spools that came in together, taken apart but not yet compared with what the shop has.
type Delivery struct {
	report report
	rows   []deliveryRow
}

type deliveryRow struct {
	spoolRow
	tareGiven bool
	place     string // of the row in a list without lines: "spools[2]."; empty for one alone and for a file
}

// SpoolText is one spool of a delivery as it was written, without a file.
type SpoolText struct {
	Spool, Wire, Lot, Gross, ReceivedOn, Tare, Cost, Location, SpoolType string
}

// ReadDelivery takes the rows of a delivery's file apart; name is what the file is called in problems.
func ReadDelivery(r io.Reader, name string) (*Delivery, Problems) {
	d := &Delivery{report: report{name: name}}
	readTable(r, deliverySpec, &d.report, func(r *row) { d.take(r, "") })
	if len(d.rows)+len(d.report.list) == 0 {
		d.report.add(1, deliverySpec.columns[0], "the file has no spools below its header")
	}
	return d, d.report.with(report{})
}

// OneSpool takes a single spool apart.
func OneSpool(s SpoolText) *Delivery {
	d := &Delivery{}
	d.takeText(s, "")
	return d
}

// SeveralSpools takes a list of spools apart.
func SeveralSpools(list []SpoolText) *Delivery {
	d := &Delivery{}
	for i, s := range list {
		d.takeText(s, fmt.Sprintf("spools[%d].", i))
	}
	if len(list) == 0 {
		d.report.add(0, "spools", "is needed: at least one spool")
	}
	return d
}

// takeText takes a spool apart as if it were a row of a file.
func (d *Delivery) takeText(s SpoolText, place string) {
	r := &row{spec: deliverySpec, report: &report{}, fields: make([]string, len(deliverySpec.columns))}
	t := &table{spec: deliverySpec, report: r.report, width: len(r.fields), places: make([]int, len(r.fields))}
	for i := range t.places {
		t.places[i] = i
	}
	t.load(r, []string{s.Spool, s.Wire, s.Lot, s.Gross, s.ReceivedOn, s.Tare, s.Cost, s.Location, s.SpoolType})
	d.take(r, place)
	for _, p := range r.report.list {
		d.report.add(0, place+p.Column, "%s", p.Text)
	}
}

func (d *Delivery) take(r *row, place string) {
	s := stock.Spool{
		Code: stock.SpoolCode(r.code("spool")),
		Lot:  r.words("lot", "the supplier's lot"),
		Type: r.codeGiven("spool_type"),
	}
	s.Wire = wireCode(r)
	s.Gross = r.grams("gross_g", 1)
	s.Location = r.text("location")
	if _, ok := r.given("received_on"); ok {
		s.ReceivedOn = r.date("received_on")
	}
	_, tareGiven := r.given("tare_g")
	switch {
	case tareGiven:
		s.Tare = r.grams("tare_g", 0)
		if wrong := noWire(s); wrong != "" && r.sound("gross_g", "tare_g") {
			r.fail("gross_g", "%s", wrong)
		}
	case s.Type == "" && r.sound("tare_g", "spool_type"):
		r.fail("tare_g", "is needed: the empty spool in grams, or a spool_type whose tare is known")
	}
	cost := ""
	if _, ok := r.given("cost"); ok {
		cost = r.amount("cost")
	}
	d.rows = append(d.rows, deliveryRow{spoolRow{r.at(), s, cost}, tareGiven, place})
}
