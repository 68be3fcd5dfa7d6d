package workshop

import (
	"context"
	"fmt"
	"strings"

	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// Received is a delivery as it is on the shelf.
type Received struct {
	Delivery string // its code; empty for a single spool
	Cost     money.Minor
	Freight  money.Minor
	Currency money.Currency
	Spools   []stock.Balance // in the order of the delivery
	Before   bool            // it was already here, with the same figures: nothing was changed
}

// ReceiveSpool takes in one spool. The same spool with the same figures a second time changes nothing. The error is
// intake.Problems where fields are wrong. Only a lead, a bookkeeper or an owner may.
func (s *Shop) ReceiveSpool(ctx context.Context, spool *intake.Delivery) (Received, error) {
	return s.receiveDelivery(ctx, spool, intake.Invoice{}, false, "")
}

// ReceiveDelivery takes in spools that came together, all or none, under a code; one is made up where none is given. One cost for
// all and the freight are split over the spools by net mass, to the minor unit. The same delivery a second time changes nothing. The
// error is intake.Problems where rows are wrong. Only a lead, a bookkeeper or an owner may.
func (s *Shop) ReceiveDelivery(ctx context.Context, spools *intake.Delivery, invoice intake.Invoice, code string) (Received, error) {
	if code != "" {
		if text := intake.BadCode(code); text != "" {
			return Received{}, wrong("delivery", "%s", text)
		}
	}
	return s.receiveDelivery(ctx, spools, invoice, true, code)
}

// SplitDelivery gives what ReceiveDelivery would take in, with the cost of each spool, and takes in nothing. The error is
// intake.Problems where rows are wrong. Who may receive may.
func (s *Shop) SplitDelivery(ctx context.Context, spools *intake.Delivery, invoice intake.Invoice) (out Received, err error) {
	if _, err := allow(ctx, "receiving wire", Lead, Bookkeeper); err != nil {
		return out, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		shelf, err := s.onShelf(r)
		if err != nil {
			return err
		}
		receipts, problems := spools.Receive(shelf, invoice)
		if len(problems) > 0 {
			return problems
		}
		out = Received{Cost: receipts.Cost, Freight: receipts.Freight, Currency: shelf.Currency, Before: receipts.Here}
		for _, spool := range receipts.Spools {
			out.Spools = append(out.Spools, stock.Balance{Spool: spool, State: stock.Available, Mass: spool.Net(), Value: spool.Cost})
		}
		return nil
	})
	return out, err
}

func (s *Shop) receiveDelivery(ctx context.Context, d *intake.Delivery, invoice intake.Invoice, together bool, code string) (out Received, err error) {
	p, err := allow(ctx, "receiving wire", Lead, Bookkeeper)
	if err != nil {
		return out, err
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		out = Received{}
		shelf, err := s.onShelf(tx)
		if err != nil {
			return err
		}
		receipts, problems := d.Receive(shelf, invoice)
		if len(problems) > 0 {
			return problems
		}
		out.Cost, out.Freight, out.Currency, out.Before = receipts.Cost, receipts.Freight, shelf.Currency, receipts.Here
		if !receipts.Here {
			if out.Delivery, err = s.putOnShelf(tx, p, receipts, together, code); err != nil {
				return err
			}
			if err := s.settle(tx, p, wiresOn(receipts.Spools)...); err != nil {
				return err
			}
		}
		for _, spool := range receipts.Spools {
			b, err := tx.Spool(spool.Code)
			if err != nil {
				return err
			}
			out.Spools = append(out.Spools, b)
		}
		return nil
	})
	if err != nil {
		return Received{}, err
	}
	return out, nil
}

// onShelf gathers what a delivery may refer to or repeat.
func (s *Shop) onShelf(r Reader) (shelf intake.OnShelf, err error) {
	practice, err := r.Practice()
	if err != nil {
		return shelf, err
	}
	shelf.Currency, shelf.Today = practice.Currency, s.Today()
	if shelf.Wires, err = r.Wires(); err != nil {
		return shelf, err
	}
	if shelf.Types, err = spoolTypes(r); err != nil {
		return shelf, err
	}
	balances, err := r.Spools()
	for _, b := range balances {
		shelf.Spools = append(shelf.Spools, b.Spool)
	}
	return shelf, err
}

// putOnShelf adds the spools of a delivery and gives its code.
func (s *Shop) putOnShelf(tx Tx, p Person, receipts intake.Receipts, together bool, code string) (string, error) {
	if !together {
		spool := receipts.Spools[0]
		if err := s.receive(tx, p, receipts.Spools, "received"); err != nil {
			return "", err
		}
		return "", tx.Record(s.audit(p, "receive spool", string(spool.Code), fmt.Sprintf("%s of %s, lot %s", spool.Net(), spool.Wire, spool.Lot)))
	}
	if code == "" {
		var err error
		if code, err = s.nextDelivery(tx); err != nil {
			return "", err
		}
	}
	if err := s.receive(tx, p, receipts.Spools, "delivery "+code); err != nil {
		return "", err
	}
	codes := make([]stock.SpoolCode, len(receipts.Spools))
	for i, spool := range receipts.Spools {
		codes[i] = spool.Code
	}
	delivery := Delivery{Code: code, Cost: receipts.Cost, Freight: receipts.Freight, PostedAt: s.Now(), Person: p.Name}
	if err := tx.AddDelivery(delivery, codes); err != nil {
		return "", err
	}
	return code, tx.Record(s.audit(p, "receive delivery", code, fmt.Sprintf("%d spools", len(codes))))
}

// nextDelivery gives the next free code of today: D260302-1, D260302-2, …
func (s *Shop) nextDelivery(r Reader) (string, error) {
	prefix := "D" + s.Now().In(s.Zone).Format("060102") + "-"
	codes, err := r.DeliveryCodes(prefix)
	if err != nil {
		return "", err
	}
	taken := make(map[string]bool, len(codes))
	for _, c := range codes {
		taken[strings.ToLower(c)] = true
	}
	for n := 1; ; n++ {
		if code := fmt.Sprintf("%s%d", prefix, n); !taken[strings.ToLower(code)] {
			return code, nil
		}
	}
}

// wiresOn gives the wires of spools, each once or more.
func wiresOn(spools []stock.Spool) []material.WireCode {
	wires := make([]material.WireCode, len(spools))
	for i, s := range spools {
		wires[i] = s.Wire
	}
	return wires
}
