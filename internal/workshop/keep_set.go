package workshop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"windingroom/internal/catalog"
	"windingroom/internal/intake"
)

// KeepSet makes a set a standing one under a code. The same set again changes nothing; ErrExists when another standing set has the
// code. A set that was retired may be kept again. The error is intake.Problems where fields are wrong. Only a lead or an owner may.
func (s *Shop) KeepSet(ctx context.Context, form intake.SetForm) (catalog.Set, error) {
	return s.writeSet(ctx, "keep set", form, func(standing *catalog.Set) error {
		if standing != nil {
			return fmt.Errorf("set %s: %w", standing.Code, ErrExists)
		}
		return nil
	})
}

// ChangeSet gives a standing set other strings. Orders that have it stay what they are: each keeps its own strings. The same strings
// again change nothing; ErrNotFound when there is no such set. Errors and roles as in KeepSet.
func (s *Shop) ChangeSet(ctx context.Context, form intake.SetForm) (catalog.Set, error) {
	return s.writeSet(ctx, "change set", form, func(standing *catalog.Set) error {
		if standing == nil {
			return fmt.Errorf("set %s: %w", form.Set, ErrNotFound)
		}
		return nil
	})
}

// writeSet reads the form and saves the set, unless it stands just so already or may refuses the standing set of its code (nil: none).
func (s *Shop) writeSet(ctx context.Context, act string, form intake.SetForm, may func(standing *catalog.Set) error) (kept catalog.Set, err error) {
	p, err := allow(ctx, "changing the standing sets", Lead)
	if err != nil {
		return kept, err
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		known, err := knownToRecipes(tx)
		if err != nil {
			return err
		}
		read, problems := intake.ReadSet(form, known)
		if len(problems) > 0 {
			return problems
		}
		kept = read
		standing, err := standingSet(tx, kept.Code)
		if errors.Is(err, ErrNotFound) {
			if err := may(nil); err != nil {
				return err
			}
		} else {
			if err != nil {
				return err
			}
			kept.Code = standing.Code
			if slices.Equal(standing.Positions, kept.Positions) {
				return nil
			}
			if err := may(&standing); err != nil {
				return err
			}
		}
		if err := tx.SaveSets([]catalog.Set{kept}); err != nil {
			return err
		}
		return tx.Record(s.audit(p, act, string(kept.Code), stringsText(kept)))
	})
	return kept, err
}

// RetireSet takes a set out of the standing ones: no new order names it. Orders that have it keep it and their strings, and their history
// keeps its code. ErrNotFound when there is no such set, or it was retired before. Only a lead or an owner may.
func (s *Shop) RetireSet(ctx context.Context, code catalog.SetCode) (was catalog.Set, err error) {
	p, err := allow(ctx, "changing the standing sets", Lead)
	if err != nil {
		return was, err
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		if was, err = standingSet(tx, code); err != nil {
			return err
		}
		if err := tx.RetireSet(was.Code); err != nil {
			return err
		}
		return tx.Record(s.audit(p, "retire set", string(was.Code), stringsText(was)))
	})
	return was, err
}

func standingSet(r Reader, code catalog.SetCode) (catalog.Set, error) {
	sets, err := r.Sets()
	if err != nil {
		return catalog.Set{}, err
	}
	i := slices.IndexFunc(sets, func(s catalog.Set) bool { return strings.EqualFold(string(s.Code), string(code)) })
	if i < 0 {
		return catalog.Set{}, fmt.Errorf("set %s: %w", code, ErrNotFound)
	}
	return sets[i], nil
}

// stringsText spells a set's strings out for the audit.
func stringsText(set catalog.Set) string {
	var all []string
	for _, p := range set.Positions {
		all = append(all, fmt.Sprintf("%s %s at %s in", p.Recipe, p.Pitch, p.Scale.InchText()))
	}
	return strings.Join(all, ", ")
}
