package workshop

import (
	"errors"
	"fmt"

	"windingroom/internal/calendar"
	"windingroom/internal/costing"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// Check is one thing that was reconciled: what the books say and what it was held against. The difference is zero.
type Check struct {
	What    string
	Mass    bool  // in milligrams; else in minor units
	Books   int64 // as the books say
	Against int64 // as it comes from elsewhere
}

// ErrOff says that the books do not tie out.
var ErrOff = errors.New("the books do not tie out")

// Reconciled is nil where every check found no difference; else it wraps ErrOff and names each that did.
func (b *Books) Reconciled() error {
	var off []error
	for _, c := range b.Checks {
		if d := c.Difference(); d != 0 {
			by := b.Currency.Text(money.Minor(d)) + " " + string(b.Currency)
			if c.Mass {
				by = measure.Mass(d).String()
			}
			off = append(off, fmt.Errorf("%s: %s: %s off: %w", b.Name(), c.What, by, ErrOff))
		}
	}
	return errors.Join(off...)
}

// Difference gives by how much they differ.
func (c Check) Difference() int64 { return c.Books - c.Against }

// check reconciles the books with themselves, with the ledger and with the spools.
func (k *bookkeeping) check() error {
	b := k.books
	total, method := b.Roll.Total(), b.ByMethod.Total()
	k.both("opening and what moved give the closing", total.Closing, costing.Quantity{
		Mass: total.Opening.Mass + total.Received.Mass - total.Drawn.Mass - total.Scrap.Mass + total.Difference.Mass,
		Cost: total.Opening.Cost + total.Received.Cost - total.Drawn.Cost - total.Scrap.Cost + total.Difference.Cost})
	k.both("opening and all movements give the closing", total.Closing,
		costing.Quantity{Mass: total.Opening.Mass + k.sum.Mass, Cost: total.Opening.Cost + k.sum.Cost})
	for _, at := range []struct {
		what string
		is   costing.Quantity
		on   int
	}{{"the opening is what the spools held before", total.Opening, 0}, {"the closing is what the spools held at the end", total.Closing, 1}} {
		day := b.From.First() - 1
		if at.on == 1 {
			day = b.To.Last()
		}
		held, err := k.held(day)
		if err != nil {
			return err
		}
		k.both(at.what, at.is, held)
	}
	var listed costing.Quantity
	var fifo, average, chosen money.Minor
	for _, v := range b.Valuations {
		listed.Mass, listed.Cost = listed.Mass+v.Mass, listed.Cost+v.Value.Specific
		fifo, average = fifo+v.Value.FIFO, average+v.Value.MovingAverage
		chosen += v.Value.Of(k.choice(v.Wire, b.To))
	}
	k.both("the valuation lists the closing", listed, total.Closing)
	k.money("the closing by the books' methods is what the valuation makes of it", method.Closing.Cost, chosen)
	k.money("by the books' methods opening, what moved and what was revalued give the closing", method.Closing.Cost,
		method.Opening.Cost+method.Received.Cost-method.Drawn.Cost-method.Scrap.Cost+method.Difference.Cost+method.Revalued.Cost)
	var bought costing.Quantity
	for _, p := range b.Purchases {
		bought.Mass, bought.Cost = bought.Mass+p.Mass, bought.Cost+p.Cost
	}
	k.both("the purchases are what was received, less what was returned", bought, total.Received)
	var spent, standard, varied money.Minor
	for _, o := range b.Orders {
		spent, standard = spent+o.Total(), standard+o.Standard
	}
	for _, v := range b.Variances {
		varied += v.Amount
	}
	k.money("orders, finished stock, scrap beyond the expected and usage of strings made before bear the wire drawn, what weighings charged and labour", spent,
		method.Drawn.Cost+k.charged+k.labour)
	k.money("variances explain what was spent beyond the standard", varied, spent-standard)
	k.journalChecks()
	for _, p := range b.Closed {
		frozen, err := frozenClosing(p)
		if err != nil {
			return err
		}
		k.money("the figures of "+p.Month.String()+" are those it was closed with", frozen, b.closing(p.Month))
	}
	return nil
}

func (k *bookkeeping) journalChecks() {
	debit, credit := costing.Balance(k.books.Journal)
	k.money("the journal's debits are its credits", debit, credit)
	var wire money.Minor
	for _, month := range k.months {
		for _, l := range (costing.Accounts{Wire: "wire"}).Roll(month) { // the shop may have one account for several things
			if l.Account == "wire" {
				wire += l.Debit - l.Credit
			}
		}
	}
	method := k.books.ByMethod.Total()
	k.money("the journal moves the account of wire on hand by closing less opening", wire, method.Closing.Cost-method.Opening.Cost)
}

func (k *bookkeeping) both(what string, is, against costing.Quantity) {
	k.books.Checks = append(k.books.Checks, Check{what, true, int64(is.Mass), int64(against.Mass)})
	k.money(what, is.Cost, against.Cost)
}

func (k *bookkeeping) money(what string, is, against money.Minor) {
	k.books.Checks = append(k.books.Checks, Check{what, false, int64(is), int64(against)})
}

// held sums what the spools held when a day was over.
func (k *bookkeeping) held(day calendar.Date) (sum costing.Quantity, err error) {
	spools, err := k.r.SpoolsAt(day)
	for _, b := range spools {
		sum.Mass, sum.Cost = sum.Mass+b.Mass, sum.Cost+b.Value
	}
	return sum, err
}

// closing gives the closing cost of one of the months.
func (b *Books) closing(month costing.Period) money.Minor {
	return b.Months[month-b.From].Total().Closing.Cost
}

// frozenClosing gives the closing cost that a month was closed with.
func frozenClosing(p Period) (sum money.Minor, err error) {
	kept, err := figuresKept(p)
	for _, l := range kept.Lines {
		sum += l.Cost[len(l.Cost)-1]
	}
	return sum, err
}
