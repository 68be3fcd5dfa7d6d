package workshop

import (
	"cmp"
	"context"
	"slices"

	"windingroom/internal/calendar"
	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// BooksSetup is what the books need to know beyond the shop's facts.
type BooksSetup struct {
	Accounts costing.Accounts
}

// Books are the books of a month, or of months that follow each other. Everything but the movements is here; those are many, and Movements
// hands them out one at a time while the books are open.
type Books struct {
	Shop     string
	Currency money.Currency
	From, To costing.Period
	Closed   []Period    // of the months, those that are closed
	PerHour  money.Minor // of the last month

	Roll       costing.Roll   // by the ledger's own costs: it sums to the ledger
	Months     []costing.Roll // the same month by month
	ByMethod   costing.Roll   // by the books' methods
	Valuations []costing.Valuation
	Wires      map[material.WireCode]material.Wire
	Purchases  []PurchaseLine
	Unmatched  []NotInvoiced // received and not invoiced, or not what was invoiced
	Orders     []OrderCost
	Variances  []costing.Variance
	Journal    []costing.JournalLine
	Held       []HeldSpool // spools with wire at the end
	Slow       []SlowWire
	Checks     []Check

	Moved     int // how many movements there are in the months
	Movements func(do func(LedgerLine) error) error
}

// Name gives the books' months: 2026-02, or 2026-01 to 2026-12.
func (b *Books) Name() string {
	if b.From == b.To {
		return b.From.String()
	}
	return b.From.String() + " to " + b.To.String()
}

// Books makes the books of some months, both among them, from one snapshot, and hands them to use, which may write them out. They end with
// the present month where to lies after it. Only a bookkeeper or an owner may.
func (s *Shop) Books(ctx context.Context, from, to costing.Period, use func(*Books) error) error {
	return s.WatchBooks(ctx, from, to, nil, use)
}

// WatchBooks is Books that tells seen every so often how many movements it has read of how many.
func (s *Shop) WatchBooks(ctx context.Context, from, to costing.Period, seen func(read, of int), use func(*Books) error) error {
	if _, err := allow(ctx, "writing the books", Bookkeeper); err != nil {
		return err
	}
	to, err := s.booksEnd(from, to)
	if err != nil {
		return err
	}
	return s.Store.Read(ctx, func(r Reader) error {
		k := bookkeeping{shop: s, r: r, openings: &s.openings, seen: seen, books: &Books{Shop: s.Name, From: from, To: to}}
		if err := k.run(); err != nil {
			return err
		}
		return use(k.books)
	})
}

// BooksSize says how many movements there are to read and to write for the books of some months. Only a bookkeeper or an owner may ask.
func (s *Shop) BooksSize(ctx context.Context, from, to costing.Period) (read, written int, err error) {
	if _, err := allow(ctx, "writing the books", Bookkeeper); err != nil {
		return 0, 0, err
	}
	if to, err = s.booksEnd(from, to); err != nil {
		return 0, 0, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		all, err := r.LedgerMark(0, to.Last())
		if err != nil {
			return err
		}
		months, err := r.LedgerMark(from.First(), to.Last())
		read, written = all.Count, months.Count
		return err
	})
	return read, written, err
}

// booksEnd gives the last month of books: none after the present one.
func (s *Shop) booksEnd(from, to costing.Period) (costing.Period, error) {
	if to = min(to, costing.PeriodOf(s.Today())); from > to {
		return 0, wrong("month", "%s comes after %s, the last month there can be books of", from, to)
	}
	const most = 120
	if to-from >= most {
		return 0, wrong("month", "%s to %s are more than the %d months that one workbook takes", from, to, most)
	}
	return to, nil
}

// bookkeeping is the making of books from one snapshot.
type bookkeeping struct {
	shop  *Shop
	r     Reader
	books *Books

	openings *openings          // nil: the ledger is read from its first movement
	seen     func(read, of int) // may be nil

	choice  costing.Choice
	months  []costing.Roll // by the books' methods
	works   []*monthWork
	read    []LedgerLine     // what was received or returned
	sum     costing.Quantity // of the months' movements
	charged money.Minor      // to batches, above zero where wire was missing
	labour  money.Minor
}

func (k *bookkeeping) run() error {
	for _, step := range []func() error{k.facts, k.ledger, k.purchases, k.stock, k.check} {
		if err := step(); err != nil {
			return err
		}
	}
	from, to := k.books.From.First(), k.books.To.Last()
	k.books.Movements = func(do func(LedgerLine) error) error { return k.r.Ledger(from, to, do) }
	return nil
}

func (k *bookkeeping) facts() error {
	practice, err := k.r.Practice()
	if err != nil {
		return err
	}
	k.books.Currency = practice.Currency
	wires, err := k.r.Wires()
	if err != nil {
		return err
	}
	k.books.Wires = make(map[material.WireCode]material.Wire, len(wires))
	for _, w := range wires {
		k.books.Wires[w.Code] = w
	}
	closed, err := k.r.Periods()
	for _, p := range closed {
		if p.Month >= k.books.From && p.Month <= k.books.To {
			k.books.Closed = append(k.books.Closed, p)
		}
	}
	return err
}

// ledger reads the ledger once, from its beginning to the end of the months, and costs what was wound month by month.
func (k *bookkeeping) ledger() (err error) {
	if k.choice, err = choiceOf(k.r); err != nil {
		return err
	}
	reading, err := newReading(k.r, k.books.From, k.books.To)
	if err != nil {
		return err
	}
	reading.openings = k.openings
	if k.seen != nil {
		all, err := k.r.LedgerMark(0, k.books.To.Last())
		if err != nil {
			return err
		}
		reading.seen = func(read int) { k.seen(read, all.Count-reading.skipped) }
	}
	rows := orderRows{}
	err = reading.months(k.r, func(l LedgerLine, p costing.Posted) {
		k.books.Moved++
		k.sum.Mass, k.sum.Cost = k.sum.Mass+l.Mass, k.sum.Cost+l.Cost
		if p.Column == costing.Received {
			k.read = append(k.read, l)
		}
	}, func(_ costing.Period, w *monthWork, std *standards) error {
		k.works = append(k.works, w)
		k.books.PerHour = std.PerHour
		k.books.Variances = append(k.books.Variances, w.Variances...)
		k.charged, k.labour = k.charged+w.charged, k.labour+w.labour
		for _, o := range w.Orders {
			rows.add(o)
		}
		return nil
	})
	if err != nil {
		return err
	}
	k.books.Orders = rows.sorted()
	ledger, books := reading.rolls()
	k.books.Months = ledger
	if k.books.Roll, err = costing.Chain(ledger...); err != nil {
		return err
	}
	if k.books.ByMethod, err = costing.Chain(books...); err != nil {
		return err
	}
	for _, v := range reading.books.Ledger().Valuations() {
		if v.Mass != 0 || v.Value != (costing.Costs{}) {
			k.books.Valuations = append(k.books.Valuations, v)
		}
	}
	k.months = books
	k.journal()
	return nil
}

// journal posts each month: its roll-forward, then its batches.
func (k *bookkeeping) journal() {
	accounts := k.shop.BooksSetup.Accounts
	for i, month := range k.months {
		k.books.Journal = append(k.books.Journal, accounts.Roll(month)...)
		for _, b := range k.works[i].batches {
			k.books.Journal = append(k.books.Journal, accounts.Batch(b.on, string(b.code), b.cost)...)
		}
	}
}

// PurchaseLine is wire that was received or returned.
type PurchaseLine struct {
	LedgerLine
	Bought
}

func (k *bookkeeping) purchases() error {
	from, to := k.books.From.First(), k.books.To.Last()
	bought, err := k.r.Bought(from, to)
	if err != nil {
		return err
	}
	for _, l := range k.read {
		k.books.Purchases = append(k.books.Purchases, PurchaseLine{l, bought[l.Spool]})
	}
	k.books.Unmatched, err = k.r.NotInvoiced(to)
	return err
}

// HeldSpool is a spool with wire at the end of the books, and how long it has been there.
type HeldSpool struct {
	stock.Balance
	Days int // since it was received
}

// SlowWire is a wire on hand that nothing was drawn of for long.
type SlowWire struct {
	Wire      material.WireCode
	Held      costing.Quantity
	LastDrawn calendar.Date // zero: never
	Days      int           // since then, or since its oldest spool came
}

// slowAfter is from how many days without a draw on a wire counts as slow: half a year (common practice, no source).
const slowAfter = 180

func (k *bookkeeping) stock() error {
	end := k.books.To.Last()
	spools, err := k.r.SpoolsAt(end)
	if err != nil {
		return err
	}
	last, err := k.r.LastDraws(end)
	if err != nil {
		return err
	}
	slow := map[material.WireCode]*SlowWire{}
	for _, b := range spools {
		if b.Mass == 0 {
			continue
		}
		days := int(end - b.ReceivedOn)
		k.books.Held = append(k.books.Held, HeldSpool{b, days})
		w := slow[b.Wire]
		if w == nil {
			w = &SlowWire{Wire: b.Wire}
			slow[b.Wire] = w
		}
		w.Held.Mass, w.Held.Cost = w.Held.Mass+b.Mass, w.Held.Cost+b.Value
		w.Days = max(w.Days, days)
		if on, ok := last[b.Wire]; ok {
			w.LastDrawn, w.Days = on, int(end-on)
		}
	}
	for _, w := range slow {
		if w.Days >= slowAfter {
			k.books.Slow = append(k.books.Slow, *w)
		}
	}
	slices.SortFunc(k.books.Slow, func(a, b SlowWire) int {
		return cmp.Or(b.Days-a.Days, cmp.Compare(a.Wire, b.Wire))
	})
	slices.SortStableFunc(k.books.Held, func(a, b HeldSpool) int { return cmp.Or(b.Days-a.Days, cmp.Compare(a.Code, b.Code)) })
	return nil
}
