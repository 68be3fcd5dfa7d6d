package workshop

import (
	"context"
	"strings"

	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/money"
	"windingroom/internal/purchase"
	"windingroom/internal/replenishment"
)

// SupplierStory is a supplier with what its deliveries taught.
type SupplierStory struct {
	catalog.Supplier
	Currency money.Currency
	Lead     replenishment.LeadTime
	Wires    []material.WireCode // bought there, by code
	Open     []purchase.Code     // purchases proposed or still to come, by code
}

// Suppliers lists the suppliers by code, with their lead times as the nightly check takes them. They name prices: only a lead, a bookkeeper
// or an owner may see them.
func (s *Shop) Suppliers(ctx context.Context) (stories []SupplierStory, err error) {
	if _, err := allow(ctx, "seeing suppliers and their terms", Lead, Bookkeeper); err != nil {
		return nil, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		stories, err = supplierStories(r)
		return err
	})
	return stories, err
}

func supplierStories(r Reader) ([]SupplierStory, error) {
	practice, err := r.Practice()
	if err != nil {
		return nil, err
	}
	suppliers, err := r.Suppliers()
	if err != nil {
		return nil, err
	}
	wires, err := r.Wires()
	if err != nil {
		return nil, err
	}
	open, err := r.Purchases(PurchaseFilter{OpenOnly: true})
	if err != nil {
		return nil, err
	}
	arrived, err := deliveries(r)
	if err != nil {
		return nil, err
	}
	leads := replenishment.LeadTimes(suppliers, arrived)
	stories := make([]SupplierStory, len(suppliers))
	for i, sup := range suppliers {
		stories[i] = SupplierStory{Supplier: sup, Currency: practice.Currency, Lead: leads[sup.Code]}
		for _, w := range wires {
			if strings.EqualFold(w.Supplier, sup.Code) {
				stories[i].Wires = append(stories[i].Wires, w.Code)
			}
		}
		for _, p := range open {
			if strings.EqualFold(p.Supplier, sup.Code) {
				stories[i].Open = append(stories[i].Open, p.Code)
			}
		}
	}
	return stories, nil
}

// supplierOn finds a supplier; nil for a code that names none.
func supplierOn(r Reader, code string) (*SupplierStory, error) {
	stories, err := supplierStories(r)
	for i := range stories {
		if strings.EqualFold(stories[i].Code, code) {
			return &stories[i], err
		}
	}
	return nil, err
}
