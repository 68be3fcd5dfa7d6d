package workshop

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"windingroom/internal/costing"
	"windingroom/internal/material"
)

// SetCostMethod decides by which formula the books value the wires of an alloy family, from a month on; an empty family is every
// family without a choice of its own. A month that is closed keeps its method. Only a bookkeeper or an owner may.
func (s *Shop) SetCostMethod(ctx context.Context, m costing.Method, reason string) (CostMethod, error) {
	p, err := allow(ctx, "choosing the books' method", Bookkeeper)
	if err != nil {
		return CostMethod{}, err
	}
	if reason, err = because(reason); err != nil {
		return CostMethod{}, err
	}
	if !slices.Contains(costing.Formulas(), m.Formula) {
		return CostMethod{}, wrong("method", "%q is not one of specific, fifo, moving average", m.Formula)
	}
	set := CostMethod{Method: m, Reason: reason, SetAt: s.Now().UTC(), SetBy: p.Name}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		if set.Family, err = familyNamed(tx, m.Family); err != nil {
			return err
		}
		periods, err := tx.Periods()
		if err != nil {
			return err
		}
		if n := len(periods); n > 0 && periods[n-1].Month >= m.From {
			return fmt.Errorf("a method from %s on would change %s: choose a later month: %w", m.From, periods[n-1].Month, ErrClosed)
		}
		if err := tx.SetCostMethod(set); err != nil {
			return err
		}
		return tx.Record(s.audit(p, "choose method", set.Family, fmt.Sprintf("%s from %s: %s", m.Formula, m.From, reason)))
	})
	return set, err
}

// CostMethods lists what was decided of the books' methods. Everyone in the shop may read it.
func (s *Shop) CostMethods(ctx context.Context) (methods []CostMethod, err error) {
	if _, err := allow(ctx, "reading the books", Roles()...); err != nil {
		return nil, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		methods, err = r.CostMethods()
		return err
	})
	return methods, err
}

// FamilyMethod is by which formula the books value the wires of an alloy family this month.
type FamilyMethod struct {
	Family  string
	Wires   int // of the shop
	Formula costing.Formula
}

// FamilyMethods lists the families that the shop has wire of, by name, each with its method of this month. Everyone in the shop may read it.
func (s *Shop) FamilyMethods(ctx context.Context) (list []FamilyMethod, err error) {
	if _, err := allow(ctx, "reading the books", Roles()...); err != nil {
		return nil, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		methods, err := methodsOf(r)
		if err != nil {
			return err
		}
		wires, err := r.Wires()
		if err != nil {
			return err
		}
		count := map[string]int{}
		for _, w := range wires {
			count[string(w.Alloy)]++
		}
		for _, family := range slices.Sorted(maps.Keys(count)) {
			list = append(list, FamilyMethod{family, count[family], methods.Of(family, costing.PeriodOf(s.Today()))})
		}
		return nil
	})
	return list, err
}

// familyNamed spells a family as its alloy is spelled. An alloy, with all its sections and sizes, is a family: wire of one alloy is of
// similar nature and use (IAS 2, paragraph 25).
func familyNamed(r Reader, family string) (string, error) {
	if family == "" {
		return "", nil
	}
	alloys, err := r.Alloys()
	if err != nil {
		return "", err
	}
	for _, a := range append(alloys, material.BuiltIn()...) {
		if strings.EqualFold(string(a.Code), family) {
			return string(a.Code), nil
		}
	}
	return "", wrong("family", "%q is no alloy of the shop", family)
}

// methodsOf gives every choice as costing takes them.
func methodsOf(r Reader) (costing.Methods, error) {
	kept, err := r.CostMethods()
	methods := make(costing.Methods, len(kept))
	for i, m := range kept {
		methods[i] = m.Method
	}
	return methods, err
}
