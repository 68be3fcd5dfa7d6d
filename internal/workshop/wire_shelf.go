package workshop

import (
	"context"
	"slices"
	"strings"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// WireShelf is the shelf by wire.
type WireShelf struct {
	Currency money.Currency
	Wires    []WireOnShelf // by code; those without a spool too
}

// WireOnShelf is a wire with its spools.
type WireOnShelf struct {
	material.Wire
	AlloyName string
	Spools    []stock.Balance // with wire on them, by code
	OnHand    measure.Mass
	Allocated measure.Mass // to released batches
	Drawable  measure.Mass // what a new batch may draw: no remnants, nothing quarantined
	Value     money.Minor
}

// Free gives on hand less allocated.
func (w WireOnShelf) Free() measure.Mass { return w.OnHand - w.Allocated }

// BelowUsableEnd says whether there is wire and no spool of it reaches the usable end: only remnants are left.
func (w WireOnShelf) BelowUsableEnd() bool {
	return len(w.Spools) > 0 && !slices.ContainsFunc(w.Spools, func(b stock.Balance) bool { return !b.Remnant() })
}

// WireShelf lists every wire with the spools that hold some. Everyone in the shop may see it.
func (s *Shop) WireShelf(ctx context.Context) (shelf WireShelf, err error) {
	if _, err := allow(ctx, "seeing the stock", Roles()...); err != nil {
		return shelf, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		wires, err := r.Wires()
		if err != nil {
			return err
		}
		spools, err := r.Spools()
		if err != nil {
			return err
		}
		shelf, err = shelfOf(r, wires, spools)
		return err
	})
	return shelf, err
}

// shelfOf puts wires together with their spools.
func shelfOf(r Reader, wires []material.Wire, spools []stock.Balance) (shelf WireShelf, err error) {
	practice, err := r.Practice()
	if err != nil {
		return shelf, err
	}
	shelf.Currency = practice.Currency
	alloys, err := allAlloys(r)
	if err != nil {
		return shelf, err
	}
	of := map[material.WireCode][]stock.Balance{}
	for _, b := range spools {
		if b.Mass > 0 {
			of[b.Wire] = append(of[b.Wire], b)
		}
	}
	for _, w := range wires {
		alloy, _ := alloys.Find(w.Alloy)
		on := WireOnShelf{Wire: w, AlloyName: alloy.Name, Spools: of[w.Code]}
		for _, b := range on.Spools {
			on.OnHand, on.Allocated, on.Drawable, on.Value = on.OnHand+b.Mass, on.Allocated+b.Allocated, on.Drawable+b.Drawable(), on.Value+b.Value
		}
		shelf.Wires = append(shelf.Wires, on)
	}
	return shelf, nil
}

// WireStory is one wire: its spools, and who waits for it.
type WireStory struct {
	WireOnShelf
	Currency money.Currency
	Orders   []Allocation // open orders that need it, the earliest due first
	Supplier string       // its name; the code where the shop does not know the supplier
	Empty    []stock.Balance
}

// WireStory gives one wire; ErrNotFound where there is none of that code. Everyone in the shop may see it.
func (s *Shop) WireStory(ctx context.Context, code material.WireCode) (story WireStory, err error) {
	if _, err := allow(ctx, "seeing the stock", Roles()...); err != nil {
		return story, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		wire, err := wireOf(r, code)
		if err != nil {
			return err
		}
		spools, err := r.SpoolsOf(wire.Code)
		if err != nil {
			return err
		}
		shelf, err := shelfOf(r, []material.Wire{wire}, spools)
		if err != nil {
			return err
		}
		story = WireStory{WireOnShelf: shelf.Wires[0], Currency: shelf.Currency, Supplier: wire.Supplier}
		suppliers, err := r.Suppliers()
		if err != nil {
			return err
		}
		for _, supplier := range suppliers {
			if strings.EqualFold(supplier.Code, wire.Supplier) {
				story.Supplier = supplier.Name
			}
		}
		for _, b := range spools {
			if b.Mass == 0 {
				story.Empty = append(story.Empty, b)
			}
		}
		story.Orders, err = r.Allocations(wire.Code)
		return err
	})
	return story, err
}
