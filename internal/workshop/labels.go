package workshop

import (
	"context"
	"fmt"
	"slices"

	"windingroom/internal/material"
	"windingroom/internal/purchase"
	"windingroom/internal/stock"
)

// SpoolLabel is what the label of a spool says. The masses are those of its receipt: they stay right for as long as the label sticks.
type SpoolLabel struct {
	stock.Spool
	Alloy string // its name
	Form  material.Form
}

// mostLabels is how many labels are made at once: more than any delivery, and no more than a browser's address can name.
const mostLabels = 500

// SpoolLabels gives the labels of spools in the order in which they are named, each once; ErrNotFound names one that is not there. Everyone in
// the shop may print them.
func (s *Shop) SpoolLabels(ctx context.Context, codes []stock.SpoolCode) (labels []SpoolLabel, err error) {
	if _, err := allow(ctx, "printing labels", Roles()...); err != nil {
		return nil, err
	}
	if len(codes) == 0 || len(codes) > mostLabels {
		return nil, wrong("spool", "name 1 to %d spools", mostLabels)
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		labels, err = labelsOf(r, codes)
		return err
	})
	return labels, err
}

// PurchaseLabels gives the labels of the spools that came for a purchase, by day and spool; ErrNotFound before any came. Everyone in the shop
// may print them.
func (s *Shop) PurchaseLabels(ctx context.Context, code purchase.Code) (labels []SpoolLabel, err error) {
	if _, err := allow(ctx, "printing labels", Roles()...); err != nil {
		return nil, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		p, err := r.Purchase(code)
		if err != nil {
			return err
		}
		if len(p.Receipts) == 0 {
			return fmt.Errorf("spools of purchase %s: none has come yet: %w", p.Code, ErrNotFound)
		}
		codes := make([]stock.SpoolCode, len(p.Receipts))
		for i, receipt := range p.Receipts {
			codes[i] = receipt.Spool
		}
		labels, err = labelsOf(r, codes)
		return err
	})
	return labels, err
}

// DeliveryLabels gives the labels of the spools of a delivery, in its order; ErrNotFound when there is none of that code. Everyone in the
// shop may print them.
func (s *Shop) DeliveryLabels(ctx context.Context, code string) (labels []SpoolLabel, err error) {
	if _, err := allow(ctx, "printing labels", Roles()...); err != nil {
		return nil, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		codes, err := r.DeliverySpools(code)
		if err == nil {
			labels, err = labelsOf(r, codes)
		}
		return err
	})
	return labels, err
}

func labelsOf(r Reader, codes []stock.SpoolCode) ([]SpoolLabel, error) {
	alloys, err := allAlloys(r)
	if err != nil {
		return nil, err
	}
	wires, err := r.Wires()
	if err != nil {
		return nil, err
	}
	var labels []SpoolLabel
	for _, code := range codes {
		b, err := r.Spool(code)
		if err != nil {
			return nil, err
		}
		if slices.ContainsFunc(labels, func(l SpoolLabel) bool { return l.Code == b.Code }) {
			continue
		}
		label := SpoolLabel{Spool: b.Spool}
		if i := slices.IndexFunc(wires, func(w material.Wire) bool { return w.Code == b.Wire }); i >= 0 {
			alloy, _ := alloys.Find(wires[i].Alloy)
			label.Alloy, label.Form = alloy.Name, wires[i].Form
		}
		labels = append(labels, label)
	}
	return labels, nil
}
