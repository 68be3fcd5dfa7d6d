package workshop

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"windingroom/internal/calendar"
	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/purchase"
	"windingroom/internal/replenishment"
)

// PurchaseForm is a purchase as a person writes it, or the new content of one.
type PurchaseForm struct {
	Supplier   string
	Lines      []PurchaseFormLine // a change without any keeps those that stand
	PromisedOn *string            // YYYY-MM-DD; empty: the supplier named no day; nil: as it stands
	Freight    *string            // expected; empty: as the supplier usually asks; nil: as it stands
	Note       *string            // nil: as it stands
	Key        string             // idempotency key of the person's own, or empty: the same key makes one purchase
}

// PurchaseFormLine is one wire of it: packs, or kilograms of which whole packs are made.
type PurchaseFormLine struct {
	Wire       string
	Packs      int    // 0 where kilograms are given
	Kg         string // empty where packs are given
	PricePerKg string // empty: the supplier's
}

// mostPacks bounds a line, far beyond any shop, far below overflow.
const mostPacks = 100_000

// readPurchase reads a form over the purchase that stands. The error is intake.Problems where fields are wrong.
func readPurchase(r Reader, f PurchaseForm, onto purchase.Purchase) (purchase.Purchase, error) {
	var form purchaseReading
	practice, err := r.Practice()
	if err != nil {
		return onto, err
	}
	form.currency = practice.Currency
	wires, err := r.Wires()
	if err != nil {
		return onto, err
	}
	form.wires = wires
	if form.offers, err = offersOf(r); err != nil {
		return onto, err
	}
	suppliers, err := suppliersOf(r)
	if err != nil {
		return onto, err
	}
	if f.Supplier != "" || onto.Supplier == "" {
		known, ok := suppliers[strings.ToLower(f.Supplier)]
		switch {
		case !ok:
			form.fail("supplier", "%q is none of the shop's suppliers", f.Supplier)
		case onto.Supplier != "" && onto.Supplier != known.Code:
			form.fail("supplier", "is %s where the purchase is from %s; cancel it and make another", known.Code, onto.Supplier)
		}
		onto.Supplier = known.Code
	}
	onto.PromisedOn = form.promised(f.PromisedOn, onto.PromisedOn)
	if f.Note != nil {
		if onto.Note = strings.TrimSpace(*f.Note); len(onto.Note) > mostWords {
			form.fail("note", "is %d bytes long; at most %d", len(onto.Note), mostWords)
		}
	}
	if len(f.Lines) > 0 {
		onto.Lines = form.lines(f.Lines)
	} else if len(onto.Lines) == 0 {
		form.fail("lines", "is needed: at least one wire")
	}
	if f.Freight != nil && *f.Freight != "" {
		onto.Freight = form.amount("freight", *f.Freight)
	} else if f.Freight != nil {
		onto.Freight = suppliers[strings.ToLower(onto.Supplier)].Carriage(onto.Mass())
	}
	return onto, form.problems.Err()
}

// purchaseReading is one reading of a form.
type purchaseReading struct {
	currency money.Currency
	wires    []material.Wire
	offers   map[material.WireCode]replenishment.Offer
	problems intake.Problems
}

func (f *purchaseReading) fail(field, format string, args ...any) {
	f.problems = append(f.problems, intake.Problem{Column: field, Text: fmt.Sprintf(format, args...)})
}

// promised reads the supplier's day over the one that stands.
func (f *purchaseReading) promised(text *string, stands calendar.Date) calendar.Date {
	if text == nil {
		return stands
	}
	if *text == "" {
		return 0
	}
	on, err := calendar.ParseDate(*text)
	if err != nil {
		f.fail("promised_on", "%v", err)
	}
	return on
}

func (f *purchaseReading) amount(field, text string) money.Minor {
	m, err := f.currency.Parse(text)
	switch {
	case err != nil:
		f.fail(field, "%v", err)
	case m < 0:
		f.fail(field, "%s must not be negative", text)
	}
	return m
}

func (f *purchaseReading) lines(forms []PurchaseFormLine) (lines []purchase.Line) {
	for i, l := range forms {
		at := fmt.Sprintf("lines[%d].", i)
		w := slices.IndexFunc(f.wires, func(w material.Wire) bool { return strings.EqualFold(string(w.Code), l.Wire) })
		if w < 0 {
			f.fail(at+"wire", "wire %q is unknown to the shop", l.Wire)
			continue
		}
		line := f.line(at, f.wires[w], l)
		if slices.ContainsFunc(lines, func(other purchase.Line) bool { return other.Wire == line.Wire }) {
			f.fail(at+"wire", "wire %s is on another line", line.Wire)
		}
		lines = append(lines, line)
	}
	slices.SortFunc(lines, func(a, b purchase.Line) int { return strings.Compare(string(a.Wire), string(b.Wire)) })
	return lines
}

// line reads how much: whole packs, as the supplier sells them.
func (f *purchaseReading) line(at string, w material.Wire, l PurchaseFormLine) purchase.Line {
	offer := f.offers[w.Code]
	packs := l.Packs
	switch {
	case l.Kg == "" && packs == 0:
		f.fail(at+"packs", "is needed: a number of packs, or kg")
	case l.Kg != "" && packs != 0:
		f.fail(at+"kg", "is given beside packs; leave one of them out")
	case l.Kg != "":
		mass, err := measure.ParseKilograms(l.Kg)
		if err != nil || mass <= 0 {
			f.fail(at+"kg", "%q is no mass above 0 in kilograms", l.Kg)
		} else {
			packs = int(math.Min(math.Ceil(float64(mass)/float64(offer.Pack)), mostPacks+1))
		}
	case packs < 0:
		f.fail(at+"packs", "%d must be more than 0", packs)
	}
	if packs > mostPacks {
		f.fail(at+"packs", "%d is more than %d", packs, mostPacks)
		packs = 0
	}
	line := purchase.Line{Wire: w.Code, Packs: packs, Mass: measure.Mass(packs) * offer.Pack}
	line.PricePerKg = offer.Price(line.Mass)
	if l.PricePerKg != "" {
		line.PricePerKg = f.amount(at+"price_per_kg", l.PricePerKg)
	}
	return line
}

// offersOf gives how each wire is sold. A pack that is not known is taken for a kilogram, as the nightly check takes it.
func offersOf(r Reader) (map[material.WireCode]replenishment.Offer, error) {
	wires, err := r.Wires()
	if err != nil {
		return nil, err
	}
	breaks, err := r.Breaks()
	offers := make(map[material.WireCode]replenishment.Offer, len(wires))
	for _, w := range wires {
		offer := replenishment.Offer{Pack: w.Pack, PricePerKg: w.PricePerKg, Breaks: breaks[w.Code]}
		if offer.Pack <= 0 {
			offer.Pack = measure.Kilogram
		}
		offers[w.Code] = offer
	}
	return offers, err
}
