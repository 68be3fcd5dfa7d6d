package main

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/purchase"
	"windingroom/internal/workshop"
)

// purchaseForm reads the flags that a new purchase and a change share.
type purchaseForm struct {
	lines                   []string
	promised, freight, note string
	form                    workshop.PurchaseForm
	set                     func(flag string) bool // says whether a flag was given, if only to empty what stands
}

func (f *purchaseForm) flags(c *cobra.Command) {
	c.Flags().StringArrayVar(&f.lines, "line", nil, "WIRE=PACKS, or WIRE=2.5kg; repeat it for each wire")
	c.Flags().StringVar(&f.promised, "promised", "", "the supplier's day, YYYY-MM-DD; empty for none")
	c.Flags().StringVar(&f.freight, "freight", "", "the carriage that is expected")
	c.Flags().StringVar(&f.note, "note", "", "a note for the supplier")
	f.set = func(flag string) bool { return c.Flags().Changed(flag) }
}

func (f *purchaseForm) read() error {
	f.form.Lines = nil
	for flag, to := range map[string]struct {
		text string
		kept **string
	}{"promised": {f.promised, &f.form.PromisedOn}, "freight": {f.freight, &f.form.Freight}, "note": {f.note, &f.form.Note}} {
		if f.set(flag) {
			*to.kept = &to.text
		}
	}
	for _, text := range f.lines {
		wire, amount, ok := strings.Cut(text, "=")
		line := workshop.PurchaseFormLine{Wire: wire}
		if kg, inKg := strings.CutSuffix(amount, "kg"); inKg {
			line.Kg = strings.TrimSpace(kg)
		} else if _, err := fmt.Sscanf(amount, "%d", &line.Packs); err != nil || fmt.Sprint(line.Packs) != amount {
			ok = false
		}
		if !ok {
			return usagef("--line: %q is not WIRE=PACKS or WIRE=2.5kg", text)
		}
		f.form.Lines = append(f.form.Lines, line)
	}
	return nil
}

// onto lays the lines that flags name over those of the purchase, which stay as they are; 0 packs take a wire off.
func (f *purchaseForm) onto(ctx context.Context, s *workshop.Shop, code purchase.Code) error {
	if len(f.form.Lines) == 0 {
		return nil
	}
	p, err := s.Purchase(ctx, code)
	if err != nil {
		return err
	}
	isOf := func(wire string) func(workshop.PurchaseFormLine) bool {
		return func(l workshop.PurchaseFormLine) bool { return strings.EqualFold(l.Wire, wire) }
	}
	named := f.form.Lines
	for _, l := range named {
		standing := slices.ContainsFunc(p.Lines, func(here purchase.Line) bool { return strings.EqualFold(string(here.Wire), l.Wire) })
		if !standing && l.Packs == 0 && l.Kg == "" {
			return usagef("--line: %s=0 takes off a wire that the purchase does not have", l.Wire)
		}
	}
	lines := slices.DeleteFunc(slices.Clone(named), func(l workshop.PurchaseFormLine) bool { return l.Packs == 0 && l.Kg == "" })
	for _, here := range p.Lines {
		if !slices.ContainsFunc(named, isOf(string(here.Wire))) {
			lines = append(lines, workshop.PurchaseFormLine{Wire: string(here.Wire), Packs: here.Packs, PricePerKg: p.Currency.Text(here.PricePerKg)})
		}
	}
	if len(lines) == 0 {
		return usagef("--line: no wire would be left; cancel the purchase instead")
	}
	f.form.Lines = lines
	return nil
}

// remark says of the lines that flags named what a person may not have meant: another supplier's wire, one without a price, whole packs where
// kilograms were asked for.
func (a *app) remark(ctx context.Context, s *workshop.Shop, p workshop.PurchaseStory, named []workshop.PurchaseFormLine) error {
	var wires []material.Wire
	err := s.Store.Read(ctx, func(r workshop.Reader) (err error) {
		wires, err = r.Wires()
		return err
	})
	if err != nil {
		return err
	}
	for _, l := range named {
		i := slices.IndexFunc(wires, func(w material.Wire) bool { return strings.EqualFold(string(w.Code), l.Wire) })
		if i < 0 {
			continue
		}
		w, line := wires[i], p.Line(wires[i].Code)
		if line == nil { // taken off
			continue
		}
		switch {
		case w.Supplier == "":
			a.say("remark: no supplier of %s is known", w.Code)
		case !strings.EqualFold(w.Supplier, p.Supplier):
			a.say("remark: %s is a wire of %s, not of %s", w.Code, w.Supplier, p.Supplier)
		}
		if line.PricePerKg == 0 {
			a.say("remark: %s has no price: its line counts as nothing", w.Code)
		}
		if asked, err := measure.ParseKilograms(l.Kg); l.Kg != "" && err == nil && asked != line.Mass {
			a.say("remark: %s kg of %s are rounded up to whole packs: %d of %s kg", asked.KilogramText(), w.Code, line.Packs,
				(line.Mass / measure.Mass(line.Packs)).KilogramText())
		}
	}
	return nil
}
