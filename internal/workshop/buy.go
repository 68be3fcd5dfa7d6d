package workshop

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/purchase"
)

// AddPurchase makes a purchase of a person's own, as a proposal; without lines, of what the last night asks for from the supplier. Only a lead
// or an owner may.
func (s *Shop) AddPurchase(ctx context.Context, form PurchaseForm) (PurchaseStory, error) {
	p, err := allow(ctx, "making a purchase", Lead)
	if err != nil {
		return PurchaseStory{}, err
	}
	return s.purchaseAct(ctx, func(tx Tx) (purchase.Code, error) {
		made := purchase.Purchase{Status: purchase.Proposed}
		if len(form.Lines) == 0 {
			var err error
			if made.Lines, err = s.askedFrom(tx, form.Supplier); err != nil {
				return "", err
			}
		}
		made, err := readPurchase(tx, form, made)
		if err != nil {
			return "", err
		}
		if form.Freight == "" {
			if made.Freight, err = carriage(tx, made); err != nil {
				return "", err
			}
		}
		made, err = s.addPurchase(tx, p, made)
		return made.Code, err
	})
}

// carriage gives the freight that a purchase's supplier is expected to ask.
func carriage(r Reader, p purchase.Purchase) (money.Minor, error) {
	suppliers, err := suppliersOf(r)
	var mass measure.Mass
	for _, l := range p.Lines {
		mass += l.Mass
	}
	return suppliers[strings.ToLower(p.Supplier)].Carriage(mass), err
}

// askedFrom gives what the last night asks for from a supplier; nothing without a night.
func (s *Shop) askedFrom(r Reader, supplier string) ([]purchase.Line, error) {
	n, err := lastNight(r, s.Today())
	if errors.Is(err, ErrNotFound) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	offers, err := offersOf(r)
	if err != nil {
		return nil, err
	}
	for _, idea := range n.Purchases {
		if strings.EqualFold(idea.Supplier, supplier) {
			return purchaseFrom(n, idea, offers).Lines, nil
		}
	}
	return nil, nil
}

// ChangePurchase changes the version of a purchase that a person has seen; ErrChanged when it has changed since, so that of two who change
// it at once neither loses anything unseen. What is not in the form stays; once it was sent, its lines do too. Only a lead or an owner may.
func (s *Shop) ChangePurchase(ctx context.Context, code purchase.Code, version int, form PurchaseForm) (PurchaseStory, error) {
	p, err := allow(ctx, "changing a purchase", Lead)
	if err != nil {
		return PurchaseStory{}, err
	}
	return s.purchaseAct(ctx, func(tx Tx) (purchase.Code, error) {
		here, err := seen(tx, code, version)
		switch {
		case err != nil:
			return "", err
		case here.Status != purchase.Proposed && !here.Open():
			return "", notAt(here, "cannot be changed")
		case here.Status != purchase.Proposed && len(form.Lines) > 0:
			return "", notAt(here, "its lines cannot be changed; cancel it, or receive what comes and close it")
		}
		if here, err = readPurchase(tx, form, here); err != nil {
			return "", err
		}
		here.Night = 0 // a person's own from now on
		if err := tx.ChangePurchase(here); err != nil {
			return "", err
		}
		return here.Code, tx.Record(s.audit(p, "change purchase", string(here.Code), purchaseDetail(here)))
	})
}

// seen gives a purchase that still has the version a person has seen; version 0 takes it as it stands.
func seen(r Reader, code purchase.Code, version int) (purchase.Purchase, error) {
	here, err := r.Purchase(code)
	if err == nil && version != 0 && version != here.Version {
		err = fmt.Errorf("purchase %s is at version %d, and version %d was seen: %w", here.Code, here.Version, version, ErrChanged)
	}
	return here, err
}

// notAt says that a purchase is not at the stage for an act.
func notAt(p purchase.Purchase, what string) error {
	return fmt.Errorf("purchase %s is %s and %s: %w", p.Code, p.Status, what, ErrStage)
}

// Sending says how a purchase is sent.
type Sending struct {
	Version    int           // that was seen; 0 for the one that stands
	OrderedOn  calendar.Date // zero: today
	PromisedOn calendar.Date // by the supplier; zero: as it stands
}

// SendPurchase notes that a purchase has gone to its supplier: from now on its wire is on order. Sent again it stays as it is. Only a lead or
// an owner may.
func (s *Shop) SendPurchase(ctx context.Context, code purchase.Code, how Sending) (PurchaseStory, error) {
	p, err := allow(ctx, "sending a purchase", Lead)
	if err != nil {
		return PurchaseStory{}, err
	}
	return s.purchaseAct(ctx, func(tx Tx) (purchase.Code, error) {
		here, err := tx.Purchase(code)
		switch {
		case err != nil:
			return "", err
		case here.Status == purchase.Sent:
			return here.Code, nil
		case here.Status != purchase.Proposed:
			return "", notAt(here, "cannot be sent")
		}
		if here, err = seen(tx, code, how.Version); err != nil {
			return "", err
		}
		if here.OrderedOn = how.OrderedOn; here.OrderedOn.IsZero() {
			here.OrderedOn = s.Today()
		}
		if !how.PromisedOn.IsZero() {
			here.PromisedOn = how.PromisedOn
		}
		if !here.PromisedOn.IsZero() && here.PromisedOn < here.OrderedOn {
			return "", wrong("promised_on", "%s is before the day it is ordered, %s", here.PromisedOn, here.OrderedOn)
		}
		return here.Code, s.changeStatus(tx, p, here, purchase.Sent, "send purchase", purchaseDetail(here))
	})
}

// CancelPurchase takes back a purchase of which nothing came. Cancelled again it stays so. Only a lead or an owner may.
func (s *Shop) CancelPurchase(ctx context.Context, code purchase.Code, reason string) (PurchaseStory, error) {
	return s.endPurchase(ctx, code, reason, purchase.Cancelled, "cancel purchase", func(p purchase.Purchase) error {
		switch {
		case p.Status == purchase.PartReceived:
			return notAt(p, "cannot be cancelled; close it if no more will come")
		case p.Status == purchase.Closed:
			return notAt(p, "cannot be cancelled")
		}
		return nil
	})
}

// ClosePurchase says that no more will come of a purchase. Closed again it stays so. Only a lead or an owner may.
func (s *Shop) ClosePurchase(ctx context.Context, code purchase.Code, reason string) (PurchaseStory, error) {
	return s.endPurchase(ctx, code, reason, purchase.Closed, "close purchase", func(p purchase.Purchase) error {
		if p.Status != purchase.PartReceived {
			return notAt(p, "cannot be closed; cancel it if nothing will come")
		}
		return nil
	})
}

func (s *Shop) endPurchase(ctx context.Context, code purchase.Code, reason string, to purchase.Status, act string, check func(purchase.Purchase) error) (PurchaseStory, error) {
	p, err := allow(ctx, act, Lead)
	if err != nil {
		return PurchaseStory{}, err
	}
	return s.purchaseAct(ctx, func(tx Tx) (purchase.Code, error) {
		here, err := tx.Purchase(code)
		if err != nil || here.Status == to {
			return here.Code, err
		}
		if err := check(here); err != nil {
			return "", err
		}
		return here.Code, s.changeStatus(tx, p, here, to, act, strings.TrimSpace(reason))
	})
}

// purchaseAct runs one act on a purchase in one transaction and gives the purchase as it then is.
func (s *Shop) purchaseAct(ctx context.Context, act func(Tx) (purchase.Code, error)) (story PurchaseStory, err error) {
	err = s.Store.InTx(ctx, func(tx Tx) error {
		code, err := act(tx)
		if err != nil {
			return err
		}
		story, err = s.purchaseStory(tx, code)
		return err
	})
	return story, err
}
