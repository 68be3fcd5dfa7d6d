package workshop

import (
	"context"

	"windingroom/internal/catalog"
	"windingroom/internal/setwork"
)

// MatchSet finds a set in another alloy at equal tension. Everyone in the shop may ask. The error is fields.Invalid where the
// request cannot be.
func (s *Shop) MatchSet(ctx context.Context, q setwork.MatchRequest) (setwork.MatchAnswer, error) {
	return asked(ctx, s, q, (*setwork.Room).Match)
}

// SetTension tells what a set does at pitch, and beside another one. Everyone in the shop may ask; errors as in MatchSet.
func (s *Shop) SetTension(ctx context.Context, q setwork.TensionRequest) (setwork.TensionAnswer, error) {
	return asked(ctx, s, q, (*setwork.Room).Tension)
}

// BalanceSet finds makeable strings that pull as wanted. Everyone in the shop may ask; errors as in MatchSet.
func (s *Shop) BalanceSet(ctx context.Context, q setwork.BalanceRequest) (setwork.BalanceAnswer, error) {
	return asked(ctx, s, q, (*setwork.Room).Balance)
}

// FindWires lists the ways to make a gauge in an alloy. Everyone in the shop may ask; errors as in MatchSet.
func (s *Shop) FindWires(ctx context.Context, q setwork.FindRequest) (setwork.FindAnswer, error) {
	return asked(ctx, s, q, (*setwork.Room).Find)
}

// asked answers a question about sets on the shop's facts as they are now. A winder is not told prices.
func asked[Q any, A interface{ Unpriced() A }](ctx context.Context, s *Shop, q Q, answer func(*setwork.Room, Q) (A, error)) (a A, err error) {
	p, err := allow(ctx, "set work", Roles()...)
	if err != nil {
		return a, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		room, err := roomOf(r)
		if err != nil {
			return err
		}
		a, err = answer(room, q)
		return err
	})
	if p.Role == Winder {
		a = a.Unpriced()
	}
	return a, err
}

// roomOf reads the facts that set work needs.
func roomOf(r Reader) (*setwork.Room, error) {
	var f setwork.Facts
	var err error
	if f.Alloys, err = allAlloys(r); err != nil {
		return nil, err
	}
	if f.Practice, err = r.Practice(); err != nil {
		return nil, err
	}
	if f.Wires, err = r.Wires(); err != nil {
		return nil, err
	}
	if f.Recipes, err = r.Recipes(); err != nil {
		return nil, err
	}
	if f.Sets, err = r.Sets(); err != nil {
		return nil, err
	}
	if f.Spools, err = r.Spools(); err != nil {
		return nil, err
	}
	learned := map[catalog.RecipeCode]Learned{}
	if err := learnFactors(r, f.Recipes, f.Wires, learned); err != nil {
		return nil, err
	}
	f.Factors = make(map[catalog.RecipeCode]float64, len(learned))
	for code, l := range learned {
		f.Factors[code] = l.Factor.Value
	}
	if err := teach(r, &f); err != nil {
		return nil, err
	}
	return setwork.NewRoom(f)
}

// teach adds what calibrations say of gauges and masses per length.
func teach(r Reader, f *setwork.Facts) error {
	b, err := computedBench(r)
	if err != nil {
		return err
	}
	taught, err := teachingsOf(r, b)
	if err != nil {
		return err
	}
	f.Gauges, _ = b.gauges(taught)
	f.Measured, f.Masses = taught.measured, b.masses(taught)
	return nil
}
