package workshop

import (
	"context"
	"fmt"

	"windingroom/internal/intake"
	"windingroom/internal/money"
	"windingroom/internal/purchase"
	"windingroom/internal/stock"
)

// PurchaseReceived is a delivery for a purchase as it is on the shelf, and how the purchase stands.
type PurchaseReceived struct {
	Received
	Purchase PurchaseStory
}

// ReceivePurchase takes in spools that came for a purchase, all or none: they and what they are to the purchase are one transaction. The
// purchase is then part received, or closed when all has come or complete says that no more will. What a spool's wire cost beyond the
// ordered price stands beside it. The same spools a second time change nothing. Spools that were taken in without the purchase are noted
// for it. The error is intake.Problems where rows are wrong. Only a lead, a bookkeeper or an owner may.
func (s *Shop) ReceivePurchase(ctx context.Context, code purchase.Code, d *intake.Delivery, invoice intake.Invoice, delivery string, complete bool) (out PurchaseReceived, err error) {
	p, err := allow(ctx, "receiving wire", Lead, Bookkeeper)
	if err != nil {
		return out, err
	}
	if delivery != "" {
		if text := intake.BadCode(delivery); text != "" {
			return out, wrong("delivery", "%s", text)
		}
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		out = PurchaseReceived{}
		here, err := tx.Purchase(code)
		if err != nil {
			return err
		}
		shelf, err := s.onShelf(tx)
		if err != nil {
			return err
		}
		arrived, problems := d.Receive(shelf, invoice)
		if len(problems) > 0 {
			return problems
		}
		out.Cost, out.Freight, out.Currency = arrived.Cost, arrived.Freight, shelf.Currency
		fresh, err := notYetReceived(tx, here, arrived)
		if err != nil {
			return err
		}
		out.Before = len(fresh) == 0
		if !out.Before {
			if out.Delivery, err = s.receiveFor(tx, p, here, d, arrived, fresh, delivery, complete); err != nil {
				return err
			}
		}
		if out.Purchase, err = s.purchaseStory(tx, here.Code); err != nil {
			return err
		}
		out.Spools, err = balancesOf(tx, arrived.Spools)
		return err
	})
	return out, err
}

// notYetReceived gives the places of the spools that are not noted for the purchase yet; ErrExists where one came for another.
func notYetReceived(r Reader, here purchase.Purchase, arrived intake.Receipts) ([]int, error) {
	codes := make([]stock.SpoolCode, len(arrived.Spools))
	for i, spool := range arrived.Spools {
		codes[i] = spool.Code
	}
	of, err := r.PurchaseOf(codes)
	if err != nil {
		return nil, err
	}
	var fresh []int
	for i, code := range codes {
		switch of[code] {
		case "":
			fresh = append(fresh, i)
		case here.Code:
		default:
			return nil, fmt.Errorf("spool %s came for purchase %s: %w", code, of[code], ErrExists)
		}
	}
	return fresh, nil
}

// receiveFor puts spools on the shelf, unless they are there, and notes the fresh ones for the purchase. It gives the delivery's code.
func (s *Shop) receiveFor(tx Tx, p Person, here purchase.Purchase, d *intake.Delivery, arrived intake.Receipts, fresh []int, delivery string, complete bool) (string, error) {
	if !here.Open() {
		return "", notAt(here, "takes nothing in; send it first, or receive the spools without it")
	}
	receipts, problems := receiptsFor(here, d, arrived, fresh)
	if len(problems) > 0 {
		return "", problems
	}
	var err error
	if !arrived.Here {
		if delivery, err = s.putOnShelf(tx, p, arrived, true, delivery); err != nil {
			return "", err
		}
		if err := s.settle(tx, p, wiresOn(arrived.Spools)...); err != nil {
			return "", err
		}
	}
	if err := tx.AddPurchaseReceipts(here.Code, receipts); err != nil {
		return "", err
	}
	if here, err = tx.Purchase(here.Code); err != nil {
		return "", err
	}
	status := purchase.PartReceived
	if complete || here.Complete() {
		status = purchase.Closed
	}
	practice, err := tx.Practice()
	if err != nil {
		return "", err
	}
	detail := fmt.Sprintf("%s, price difference %s %s", Count(len(receipts), "spool", "spools"), practice.Currency.Text(here.Difference()), practice.Currency)
	return delivery, s.changeStatus(tx, p, here, status, "receive purchase", detail)
}

// receiptsFor puts the cost of each spool's wire beside what the ordered price makes of it. The freight, which was split over the spools by net
// mass, is no part of either.
func receiptsFor(here purchase.Purchase, d *intake.Delivery, arrived intake.Receipts, fresh []int) (receipts []purchase.Receipt, problems intake.Problems) {
	nets := make([]int64, len(arrived.Spools))
	for i, spool := range arrived.Spools {
		nets[i] = int64(spool.Net())
	}
	freight := money.SplitLargestRemainder(arrived.Freight, nets)
	for _, i := range fresh {
		spool := arrived.Spools[i]
		line := here.Line(spool.Wire)
		if line == nil {
			problems = append(problems, d.Problem(i, "wire", "wire %s is not in purchase %s; receive the spool without it", spool.Wire, here.Code))
			continue
		}
		receipts = append(receipts, purchase.Receipt{Spool: spool.Code, Wire: spool.Wire, ReceivedOn: spool.ReceivedOn, Mass: spool.Net(),
			Cost: spool.Cost - freight[i], Expected: line.CostOf(spool.Net())})
	}
	return receipts, problems
}

func balancesOf(r Reader, spools []stock.Spool) ([]stock.Balance, error) {
	balances := make([]stock.Balance, len(spools))
	for i, spool := range spools {
		b, err := r.Spool(spool.Code)
		if err != nil {
			return nil, err
		}
		balances[i] = b
	}
	return balances, nil
}
