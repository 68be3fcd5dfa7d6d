package store

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"windingroom/internal/measure"
	"windingroom/internal/purchase"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

// standing leaves out spools whose receipt was taken back.
const standing = ` NOT EXISTS (SELECT 1 FROM movements m JOIN movements b ON b.reverses = m.id
	WHERE m.spool = r.spool AND m.kind = 'receipt') `

type purchaseLineRow struct {
	Purchase purchase.Code
	purchase.Line
	Received measure.Mass
}

type purchaseReceiptRow struct {
	Purchase purchase.Code
	purchase.Receipt
}

// Purchase gives one purchase.
func (r *reader) Purchase(code purchase.Code) (purchase.Purchase, error) {
	found, err := r.purchases("lower(p.code) = lower(?)", code)
	if err == nil && len(found) == 0 {
		err = workshop.ErrNotFound
	}
	if err != nil {
		return purchase.Purchase{}, named("purchase", code, err)
	}
	return found[0], nil
}

// PurchaseByKey gives the purchase that was made under an idempotency key.
func (r *reader) PurchaseByKey(key string) (purchase.Purchase, error) {
	found, err := r.purchases("p.key = ?", key)
	if err == nil && len(found) == 0 {
		err = workshop.ErrNotFound
	}
	if err != nil {
		return purchase.Purchase{}, named("purchase of key", key, err)
	}
	return found[0], nil
}

// Purchases gives the purchases of a filter.
func (r *reader) Purchases(f workshop.PurchaseFilter) ([]purchase.Purchase, error) {
	switch {
	case f.Status != "":
		return r.purchases("p.status = ?", f.Status)
	case f.OpenOnly:
		return r.purchases("p.status IN ('proposed', 'sent', 'part received')")
	}
	return r.purchases("1 = 1")
}

// purchases reads purchases with their lines and receipts in three queries.
func (r *reader) purchases(where string, args ...any) ([]purchase.Purchase, error) {
	found, err := list[purchase.Purchase](r, "SELECT p.* FROM purchases p WHERE "+where+" ORDER BY p.code", args...)
	if err != nil || len(found) == 0 {
		return nil, err
	}
	lines, err := list[purchaseLineRow](r, `SELECT l.*,
			CAST(coalesce((SELECT sum(r.mass) FROM purchase_receipts r WHERE r.purchase = l.purchase AND r.wire = l.wire AND `+standing+`), 0) AS BIGINT) AS received
		FROM purchase_lines l JOIN purchases p ON p.code = l.purchase WHERE `+where+" ORDER BY l.purchase, l.wire", args...)
	if err != nil {
		return nil, err
	}
	receipts, err := list[purchaseReceiptRow](r, `SELECT r.* FROM purchase_receipts r JOIN purchases p ON p.code = r.purchase
		WHERE `+where+" AND "+standing+" ORDER BY r.received_on, r.spool", args...)
	if err != nil {
		return nil, err
	}
	at := make(map[purchase.Code]int, len(found))
	for i := range found {
		found[i].MadeAt = found[i].MadeAt.UTC()
		at[found[i].Code] = i
	}
	for _, l := range lines {
		l.Line.Received = l.Received
		p := &found[at[l.Purchase]]
		p.Lines = append(p.Lines, l.Line)
	}
	for _, row := range receipts {
		p := &found[at[row.Purchase]]
		p.Receipts = append(p.Receipts, row.Receipt)
	}
	return found, nil
}

// ScheduledReceipts gives what is still to come of purchases that were sent.
func (r *reader) ScheduledReceipts() ([]workshop.ScheduledReceipt, error) {
	open, err := r.purchases("p.status IN ('sent', 'part received')")
	if err != nil || len(open) == 0 {
		return nil, err
	}
	suppliers, err := r.Suppliers()
	if err != nil {
		return nil, err
	}
	days := make(map[string]float64, len(suppliers))
	for _, s := range suppliers {
		days[s.Code] = s.LeadDays
	}
	var coming []workshop.ScheduledReceipt
	for _, p := range open {
		for _, l := range p.Lines {
			if mass := l.Outstanding(); mass > 0 {
				coming = append(coming, workshop.ScheduledReceipt{Purchase: p.Code, Wire: l.Wire, On: p.DueOn(days[p.Supplier]), Mass: mass})
			}
		}
	}
	slices.SortStableFunc(coming, func(a, b workshop.ScheduledReceipt) int { return cmp.Compare(a.On, b.On) })
	return coming, nil
}

// PurchaseOf gives the purchases for which spools came.
func (r *reader) PurchaseOf(spools []stock.SpoolCode) (map[stock.SpoolCode]purchase.Code, error) {
	type row struct {
		Spool    stock.SpoolCode
		Purchase purchase.Code
	}
	of := map[stock.SpoolCode]purchase.Code{}
	err := chunks(spools, func(part []stock.SpoolCode) error {
		rows, err := list[row](r, "SELECT spool, purchase FROM purchase_receipts WHERE spool IN ?", part)
		for _, f := range rows {
			of[f.Spool] = f.Purchase
		}
		return err
	})
	return of, err
}

// PurchaseCodes gives the codes of purchases that begin with a text.
func (r *reader) PurchaseCodes(prefix string) ([]purchase.Code, error) {
	return list[purchase.Code](r, "SELECT code FROM purchases WHERE substr(lower(code), 1, ?) = lower(?) ORDER BY code", len(prefix), prefix)
}

// AddPurchase adds a purchase with its lines.
func (t *tx) AddPurchase(p purchase.Purchase) error {
	if err := refuseTaken(t, "purchase", "purchases", []purchase.Code{p.Code}, func(c purchase.Code) purchase.Code { return c }); err != nil {
		return err
	}
	_, err := t.exec(`INSERT INTO purchases (code, supplier, status, night, ordered_on, promised_on, freight, note, made_at, made_by, version, key)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`, p.Code, p.Supplier, p.Status, day(p.Night), day(p.OrderedOn), day(p.PromisedOn), p.Freight, p.Note,
		instant(p.MadeAt), p.MadeBy, p.Version, orNull(p.Key))
	if err != nil {
		return named("purchase", p.Code, err)
	}
	return t.addPurchaseLines(p)
}

func (t *tx) addPurchaseLines(p purchase.Purchase) error {
	return insert(t, "purchase_lines", "purchase, wire, packs, mass, price_per_kg", p.Lines, func(l purchase.Line) []any {
		return []any{p.Code, l.Wire, l.Packs, l.Mass, l.PricePerKg}
	})
}

// ChangePurchase changes the purchase that has its version. The version is in the statement, so of two that change it at once one fails. Lines
// change while it is a proposal.
func (t *tx) ChangePurchase(p purchase.Purchase) error {
	n, err := t.exec(`UPDATE purchases SET status = ?, night = ?, ordered_on = ?, promised_on = ?, freight = ?, note = ?, version = version + 1
		WHERE code = ? AND version = ?`, p.Status, day(p.Night), day(p.OrderedOn), day(p.PromisedOn), p.Freight, p.Note, p.Code, p.Version)
	if err == nil && n != 1 {
		err = workshop.ErrChanged
	}
	if err != nil || p.Status != purchase.Proposed {
		return named("purchase", p.Code, err)
	}
	if _, err := t.exec("DELETE FROM purchase_lines WHERE purchase = ?", p.Code); err != nil {
		return named("purchase", p.Code, err)
	}
	return t.addPurchaseLines(p)
}

// AddPurchaseReceipts notes for which purchase spools came.
func (t *tx) AddPurchaseReceipts(code purchase.Code, receipts []purchase.Receipt) error {
	for _, r := range receipts {
		_, err := t.exec("INSERT INTO purchase_receipts (spool, purchase, wire, received_on, mass, cost, expected) VALUES (?, ?, ?, ?, ?, ?, ?)",
			r.Spool, code, r.Wire, day(r.ReceivedOn), r.Mass, r.Cost, r.Expected)
		if errors.Is(err, workshop.ErrExists) {
			err = fmt.Errorf("it came for another purchase: %w", err)
		}
		if err != nil {
			return named("spool", r.Spool, err)
		}
	}
	return nil
}
