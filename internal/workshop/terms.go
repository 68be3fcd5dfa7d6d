package workshop

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/replenishment"
)

// Terms is what the shop adds to a wire for its buying.
type Terms struct {
	Wire     material.WireCode
	Currency money.Currency
	Minimum  measure.Mass          // for a wire that was never used; zero for none
	Breaks   []replenishment.Break // the supplier's prices for a whole line from a mass on, by mass
}

// TermsForm is terms as a person writes them.
type TermsForm struct {
	Wire    string
	Minimum string // grams; empty for none
	Breaks  []BreakForm
}

// BreakForm is one price break of it.
type BreakForm struct{ FromKg, PricePerKg string }

// SetTerms sets a wire's minimum and price breaks in the place of those before. The error is intake.Problems where fields are wrong. Only a
// lead or an owner may.
func (s *Shop) SetTerms(ctx context.Context, form TermsForm) (terms Terms, err error) {
	p, err := allow(ctx, "setting a wire's terms", Lead)
	if err != nil {
		return terms, err
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		practice, err := tx.Practice()
		if err != nil {
			return err
		}
		if terms, err = readTerms(form, practice.Currency); err != nil {
			return err
		}
		if terms.Wire, err = wireNamed(tx, material.WireCode(form.Wire)); err != nil {
			return err
		}
		if err := tx.SetMinimum(terms.Wire, terms.Minimum); err != nil {
			return err
		}
		if err := tx.SetBreaks(terms.Wire, terms.Breaks); err != nil {
			return err
		}
		return tx.Record(s.audit(p, "set terms", string(terms.Wire), fmt.Sprintf("minimum %s, %d price breaks", terms.Minimum, len(terms.Breaks))))
	})
	return terms, err
}

// Terms gives a wire's minimum and price breaks; ErrNotFound when the shop has no such wire. Only a lead, a bookkeeper or an owner may see them.
func (s *Shop) Terms(ctx context.Context, wire material.WireCode) (terms Terms, err error) {
	if _, err := allow(ctx, "seeing a wire's terms", Lead, Bookkeeper); err != nil {
		return terms, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		code, err := wireNamed(r, wire)
		if err != nil {
			return err
		}
		terms, err = termsOf(r, code)
		return err
	})
	return terms, err
}

func termsOf(r Reader, wire material.WireCode) (Terms, error) {
	practice, err := r.Practice()
	if err != nil {
		return Terms{}, err
	}
	minimums, err := r.Minimums()
	if err != nil {
		return Terms{}, err
	}
	breaks, err := r.Breaks()
	return Terms{Wire: wire, Currency: practice.Currency, Minimum: minimums[wire], Breaks: breaks[wire]}, err
}

func readTerms(form TermsForm, currency money.Currency) (Terms, error) {
	terms := Terms{Currency: currency}
	var problems intake.Problems
	fail := func(field, format string, args ...any) {
		problems = append(problems, intake.Problem{Column: field, Text: fmt.Sprintf(format, args...)})
	}
	if form.Minimum != "" {
		m, err := measure.ParseGrams(form.Minimum)
		if err != nil || m < 0 {
			fail("minimum_g", "%q is no mass in grams", form.Minimum)
		}
		terms.Minimum = m
	}
	for i, b := range form.Breaks {
		at := fmt.Sprintf("breaks[%d].", i)
		from, err := measure.ParseKilograms(b.FromKg)
		if err != nil || from <= 0 {
			fail(at+"from_kg", "%q is no mass above 0 in kilograms", b.FromKg)
		}
		price, err := currency.Parse(b.PricePerKg)
		if err != nil || price < 0 {
			fail(at+"price_per_kg", "%q is no amount such as 41.50", b.PricePerKg)
		}
		if slices.ContainsFunc(terms.Breaks, func(other replenishment.Break) bool { return other.From == from }) {
			fail(at+"from_kg", "%s is there twice", b.FromKg)
		}
		terms.Breaks = append(terms.Breaks, replenishment.Break{From: from, PricePerKg: price})
	}
	slices.SortFunc(terms.Breaks, func(a, b replenishment.Break) int { return cmp.Compare(a.From, b.From) })
	return terms, problems.Err()
}
