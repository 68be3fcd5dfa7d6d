package workshop

import (
	"context"

	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/setwork"
)

// StandingSet is a set that the shop makes again and again, with what it does at pitch and whether its wire is there.
type StandingSet struct {
	catalog.Set
	Tension setwork.TensionAnswer
}

type standingSets []StandingSet

// Unpriced leaves the prices away.
func (all standingSets) Unpriced() standingSets {
	for i := range all {
		all[i].Tension = all[i].Tension.Unpriced()
	}
	return all
}

// StandingSets tells of each standing set what it does at pitch. Everyone in the shop may ask; a winder is not told prices.
func (s *Shop) StandingSets(ctx context.Context) ([]StandingSet, error) {
	return asked(ctx, s, struct{}{}, func(room *setwork.Room, _ struct{}) (all standingSets, err error) {
		for _, set := range room.Sets() {
			t, err := room.Tension(setwork.TensionRequest{Set: setwork.SetOf{Standing: string(set.Code)}})
			if err != nil {
				return nil, err
			}
			all = append(all, StandingSet{set, t})
		}
		return all, nil
	})
}

// SetParts is what sets are put together from.
type SetParts struct {
	Sets    []catalog.Set
	Recipes []catalog.Recipe
	Wires   []material.Wire
	Alloys  []material.Alloy
}

// SetParts lists the standing sets, recipes, wires and alloys to choose from. Everyone in the shop may see them; a wire's list price is
// left away.
func (s *Shop) SetParts(ctx context.Context) (parts SetParts, err error) {
	if _, err := allow(ctx, "set work", Roles()...); err != nil {
		return parts, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		alloys, err := allAlloys(r)
		if err != nil {
			return err
		}
		parts.Alloys = alloys.List()
		if parts.Sets, err = r.Sets(); err != nil {
			return err
		}
		if parts.Recipes, err = r.Recipes(); err != nil {
			return err
		}
		parts.Wires, err = r.Wires()
		for i := range parts.Wires {
			parts.Wires[i].PricePerKg = 0
		}
		return err
	})
	return parts, err
}
