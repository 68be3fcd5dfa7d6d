package workshop

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"strings"

	"windingroom/internal/calendar"
	"windingroom/internal/purchase"
)

// AddPurchase makes a purchase of a person's own, as a proposal; without lines, of what the last night asks for from the supplier. Only a lead
// or an owner may.
func (s *Shop) AddPurchase(ctx context.Context, form PurchaseForm) (PurchaseStory, error) {
	p, err := allow(ctx, "making a purchase", Lead)
	if err != nil {
		return PurchaseStory{}, err
	}
	if err := fits(form.Key); err != nil {
		return PurchaseStory{}, err
	}
	if form.Key != "" {
		form.Key = ownKey(p, form.Key)
	}
	if form.Freight == nil {
		form.Freight = new(string)
	}
	return s.purchaseAct(ctx, func(tx Tx) (purchase.Code, error) {
		if code, err := madeBefore(tx, form); code != "" || err != nil {
			return code, err
		}
		made := purchase.Purchase{Status: purchase.Proposed, Key: form.Key}
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
		made, err = s.addPurchase(tx, p, made)
		return made.Code, err
	})
}

// madeBefore gives the purchase that was made under the key of a form; none without a key or a purchase.
func madeBefore(r Reader, form PurchaseForm) (purchase.Code, error) {
	if form.Key == "" {
		return "", nil
	}
	before, err := r.PurchaseByKey(form.Key)
	switch {
	case errors.Is(err, ErrNotFound):
		return "", nil
	case err == nil && !strings.EqualFold(before.Supplier, form.Supplier):
		err = fmt.Errorf("this key has made purchase %s from %s: %w", before.Code, before.Supplier, ErrExists)
	}
	return before.Code, err
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
	Confirmed  bool          // it goes although its lines cost less than the supplier takes orders for
	Reason     string        // why it does; needed where it is confirmed
}

// check asks for a word and a reason where a purchase stays below what its supplier takes orders for: making one is free, but a supplier
// refuses a small one or asks a charge for it that nobody counted on, so it does not go out unseen.
func (h Sending) check(p PurchaseStory) error {
	switch {
	case !p.BelowMinimum():
		return nil
	case !h.Confirmed:
		return fmt.Errorf("the lines of purchase %s cost %s %s, and %s takes orders of %s %s and more: %w", p.Code, p.Currency.Text(p.Total()-p.Freight), p.Currency,
			cmp.Or(p.From.Name, p.Supplier), p.Currency.Text(p.From.OrderMinimum), p.Currency, ErrBelowMinimum)
	case h.Reason == "":
		return wrong("reason", "is needed: why it is sent below the minimum, such as what was agreed with the supplier")
	case len(h.Reason) > mostWords:
		return wrong("reason", "is %d bytes long; at most %d", len(h.Reason), mostWords)
	}
	return nil
}

// SendPurchase notes that a purchase has gone to its supplier: from now on its wire is on order. Sent again it stays as it is. Only a lead or
// an owner may.
func (s *Shop) SendPurchase(ctx context.Context, code purchase.Code, how Sending) (PurchaseStory, error) {
	p, err := allow(ctx, "sending a purchase", Lead)
	if err != nil {
		return PurchaseStory{}, err
	}
	how.Reason = strings.TrimSpace(how.Reason)
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
		stories, err := s.purchaseStories(tx, here)
		if err != nil {
			return "", err
		}
		if err := how.check(stories[0]); err != nil {
			return "", err
		}
		detail := purchaseDetail(here)
		if stories[0].BelowMinimum() {
			detail += "; below the supplier's minimum: " + how.Reason
		}
		return here.Code, s.changeStatus(tx, p, here, purchase.Sent, "send purchase", detail)
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
