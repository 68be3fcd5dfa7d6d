package workshop

import (
	"context"
	"fmt"

	"windingroom/internal/order"
	"windingroom/internal/requirements"
)

// OrderStory is one order with what it still takes.
type OrderStory struct {
	Order     order.Order
	Open      []requirements.Demand   // strings not yet in a released batch
	Needs     []requirements.WireNeed // wire for the open strings, expected scrap included
	Shortages []requirements.Shortage // wires that hold this order up, once earlier orders are served
}

// Order tells the story of one order; ErrNotFound when there is none. Everyone in the shop may see it.
func (s *Shop) Order(ctx context.Context, code order.Code) (OrderStory, error) {
	if _, err := allow(ctx, "seeing orders", Roles()...); err != nil {
		return OrderStory{}, err
	}
	var story OrderStory
	err := s.Store.Read(ctx, func(r Reader) error {
		o, err := r.Order(code)
		if err != nil {
			return fmt.Errorf("order %s: %w", code, err)
		}
		story.Order = o
		bench, demands, err := openDemand(r)
		if err != nil {
			return err
		}
		for _, d := range demands {
			if d.Order == o.Code {
				story.Open = append(story.Open, d)
			}
		}
		if story.Needs, err = bench.Explode(story.Open); err != nil {
			return err
		}
		all, err := shortages(r, bench, demands)
		if err != nil {
			return err
		}
		for _, short := range all {
			if short.HoldsUp(o.Code) {
				story.Shortages = append(story.Shortages, short)
			}
		}
		return nil
	})
	return story, err
}

// Shortages lists the wires of which open orders need more than is free, with the orders each one holds up, earliest due
// first. Everyone in the shop may see it.
func (s *Shop) Shortages(ctx context.Context) ([]requirements.Shortage, error) {
	if _, err := allow(ctx, "seeing shortages", Roles()...); err != nil {
		return nil, err
	}
	var list []requirements.Shortage
	err := s.Store.Read(ctx, func(r Reader) error {
		bench, demands, err := openDemand(r)
		if err != nil {
			return err
		}
		list, err = shortages(r, bench, demands)
		return err
	})
	return list, err
}

func shortages(r Reader, bench *requirements.Bench, demands []requirements.Demand) ([]requirements.Shortage, error) {
	spools, err := r.Spools()
	if err != nil {
		return nil, err
	}
	return bench.Shortages(demands, spools)
}
