package workshop

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/money"
	"windingroom/internal/purchase"
	"windingroom/internal/replenishment"
)

// PurchaseStory is a purchase as it is read.
type PurchaseStory struct {
	purchase.Purchase
	Shop     string
	From     catalog.Supplier
	Currency money.Currency
}

// DueOn gives the day on which what is outstanding should come; zero before it was sent.
func (p PurchaseStory) DueOn() calendar.Date {
	if p.OrderedOn.IsZero() {
		return 0
	}
	return p.Purchase.DueOn(p.From.LeadDays)
}

// BelowMinimum says whether the lines cost less than the supplier takes orders for.
func (p PurchaseStory) BelowMinimum() bool { return p.Total()-p.Freight < p.From.OrderMinimum }

// Purchases lists the purchases of a filter by code. They name prices: only a lead, a bookkeeper or an owner may see them.
func (s *Shop) Purchases(ctx context.Context, filter PurchaseFilter) ([]PurchaseStory, error) {
	if _, err := allow(ctx, "seeing purchases and their prices", Lead, Bookkeeper); err != nil {
		return nil, err
	}
	var stories []PurchaseStory
	err := s.Store.Read(ctx, func(r Reader) error {
		found, err := r.Purchases(filter)
		if err != nil {
			return err
		}
		stories, err = s.purchaseStories(r, found...)
		return err
	})
	return stories, err
}

// Purchase gives one purchase; ErrNotFound when there is none. Only a lead, a bookkeeper or an owner may see it.
func (s *Shop) Purchase(ctx context.Context, code purchase.Code) (PurchaseStory, error) {
	if _, err := allow(ctx, "seeing purchases and their prices", Lead, Bookkeeper); err != nil {
		return PurchaseStory{}, err
	}
	var story PurchaseStory
	err := s.Store.Read(ctx, func(r Reader) (err error) {
		story, err = s.purchaseStory(r, code)
		return err
	})
	return story, err
}

func (s *Shop) purchaseStory(r Reader, code purchase.Code) (PurchaseStory, error) {
	p, err := r.Purchase(code)
	if err != nil {
		return PurchaseStory{}, err
	}
	stories, err := s.purchaseStories(r, p)
	if err != nil {
		return PurchaseStory{}, err
	}
	return stories[0], nil
}

func (s *Shop) purchaseStories(r Reader, purchases ...purchase.Purchase) ([]PurchaseStory, error) {
	practice, err := r.Practice()
	if err != nil {
		return nil, err
	}
	suppliers, err := suppliersOf(r)
	if err != nil {
		return nil, err
	}
	stories := make([]PurchaseStory, len(purchases))
	for i, p := range purchases {
		stories[i] = PurchaseStory{Purchase: p, Shop: s.Name, From: suppliers[strings.ToLower(p.Supplier)], Currency: practice.Currency}
	}
	return stories, nil
}

// suppliersOf gives the suppliers by their codes in small letters.
func suppliersOf(r Reader) (map[string]catalog.Supplier, error) {
	list, err := r.Suppliers()
	of := make(map[string]catalog.Supplier, len(list))
	for _, s := range list {
		of[strings.ToLower(s.Code)] = s
	}
	return of, err
}

// ProposePurchases turns what a night (zero: the last) asks for into proposals, one for each supplier or only for the one that is named. A
// proposal of an earlier night that nobody touched gives way to it, or is cancelled where the night asks for nothing from that supplier any
// more; one that a person has changed stays as it is. Only a lead or an owner may.
func (s *Shop) ProposePurchases(ctx context.Context, night calendar.Date, supplier string) (stories []PurchaseStory, err error) {
	p, err := allow(ctx, "proposing purchases", Lead)
	if err != nil {
		return nil, err
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		n, err := nightOf(tx, night, s.Today())
		if err != nil {
			return err
		}
		standing, err := tx.Purchases(PurchaseFilter{Status: purchase.Proposed})
		if err != nil {
			return err
		}
		offers, err := offersOf(tx)
		if err != nil {
			return err
		}
		wanted := func(code string) bool { return supplier == "" || strings.EqualFold(supplier, code) }
		var made []purchase.Purchase
		for _, idea := range n.Purchases {
			if !wanted(idea.Supplier) {
				continue
			}
			made = append(made, purchaseFrom(n, idea, offers))
		}
		var kept []purchase.Code
		for _, old := range standing {
			i := slices.IndexFunc(made, func(m purchase.Purchase) bool { return m.Supplier == old.Supplier })
			switch {
			case !wanted(old.Supplier):
				continue
			case old.Night.IsZero(): // a person's own
				if i >= 0 {
					made = slices.Delete(made, i, i+1)
				}
			case i >= 0:
				if err := s.replaceProposal(tx, p, old, made[i]); err != nil {
					return err
				}
				made = slices.Delete(made, i, i+1)
			default:
				if err := s.changeStatus(tx, p, old, purchase.Cancelled, "cancel purchase", fmt.Sprintf("the night of %s no longer asks for it", n.Date)); err != nil {
					return err
				}
				continue
			}
			kept = append(kept, old.Code)
		}
		for _, m := range made {
			m, err := s.addPurchase(tx, p, m)
			if err != nil {
				return err
			}
			kept = append(kept, m.Code)
		}
		stories = nil
		for _, code := range slices.Sorted(slices.Values(kept)) {
			story, err := s.purchaseStory(tx, code)
			if err != nil {
				return err
			}
			stories = append(stories, story)
		}
		return nil
	})
	return stories, err
}

// nightOf gives the night of a day, or the last one.
func nightOf(r Reader, date, today calendar.Date) (Night, error) {
	if date.IsZero() {
		return lastNight(r, today)
	}
	n, err := r.LastNight(date)
	if err == nil && n.Date != date {
		err = fmt.Errorf("night of %s: %w", date, ErrNotFound)
	}
	return n, err
}

// purchaseFrom makes a proposal of what a night asks for, at the prices of now.
func purchaseFrom(n Night, idea replenishment.Purchase, offers map[material.WireCode]replenishment.Offer) purchase.Purchase {
	p := purchase.Purchase{Supplier: idea.Supplier, Status: purchase.Proposed, Night: n.Date, Freight: idea.Freight}
	for _, l := range idea.Lines {
		p.Lines = append(p.Lines, purchase.Line{Wire: l.Wire, Packs: l.Packs, Mass: l.Mass, PricePerKg: offers[l.Wire].Price(l.Mass)})
	}
	return p
}

func (s *Shop) replaceProposal(tx Tx, p Person, old, idea purchase.Purchase) error {
	if slices.Equal(old.Lines, idea.Lines) && old.Freight == idea.Freight {
		return nil
	}
	old.Night, old.Lines, old.Freight = idea.Night, idea.Lines, idea.Freight
	if err := tx.ChangePurchase(old); err != nil {
		return err
	}
	return tx.Record(s.audit(p, "propose purchase", string(old.Code), purchaseDetail(old)))
}

// addPurchase adds a purchase under the next free code of today: P260302-1, P260302-2, …
func (s *Shop) addPurchase(tx Tx, p Person, made purchase.Purchase) (purchase.Purchase, error) {
	prefix := "P" + s.Now().In(s.Zone).Format("060102") + "-"
	taken, err := tx.PurchaseCodes(prefix)
	if err != nil {
		return made, err
	}
	for n := len(taken) + 1; ; n++ {
		made.Code = purchase.Code(fmt.Sprintf("%s%d", prefix, n))
		if !slices.Contains(taken, made.Code) {
			break
		}
	}
	made.MadeAt, made.MadeBy, made.Version = s.Now().UTC(), p.Name, 1
	if err := tx.AddPurchase(made); err != nil {
		return made, err
	}
	return made, tx.Record(s.audit(p, "propose purchase", string(made.Code), purchaseDetail(made)))
}

func purchaseDetail(p purchase.Purchase) string {
	lines := make([]string, len(p.Lines))
	for i, l := range p.Lines {
		lines[i] = fmt.Sprintf("%s %s kg", l.Wire, l.Mass.KilogramText())
	}
	return p.Supplier + ": " + strings.Join(lines, ", ")
}

// changeStatus moves a purchase on, with a reason.
func (s *Shop) changeStatus(tx Tx, p Person, was purchase.Purchase, to purchase.Status, act, reason string) error {
	was.Status = to
	if err := tx.ChangePurchase(was); err != nil {
		return err
	}
	return tx.Record(s.audit(p, act, string(was.Code), reason))
}
