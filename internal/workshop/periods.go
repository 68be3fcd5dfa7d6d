package workshop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"windingroom/internal/batch"
	"windingroom/internal/costing"
)

// ErrNotClosable says that a month cannot be closed as things stand.
var ErrNotClosable = errors.New("the month cannot be closed yet")

// Month is a month of the books and where it stands.
type Month struct {
	Month    costing.Period
	Closed   *Period   // nil while it is open
	Before   bool      // closed without an act of its own: a later month is closed
	Closings []Closing // its history, in the order it happened
}

// CloseMonth locks a month: its figures are frozen with a hash over them and its movements, and nothing posts into it or into a month
// before it any more. It is refused with ErrNotClosable while the month is not over, a batch of it is released without a result, an
// earlier month with movements is open, or Verify or a check of its books finds anything broken. Only a bookkeeper or an owner may.
func (s *Shop) CloseMonth(ctx context.Context, month costing.Period) (closed Period, err error) {
	p, err := allow(ctx, "closing a month", Bookkeeper)
	if err != nil {
		return closed, err
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		periods, err := tx.Periods()
		if err != nil {
			return err
		}
		if err := stillOpen(periods, month); err != nil {
			return err
		}
		if err := s.closable(tx, month, periods); err != nil {
			return err
		}
		if err := s.tiesOut(tx, month); err != nil {
			return err
		}
		frozen, err := Freeze(tx, month)
		if err != nil {
			return err
		}
		closed = Period{Month: month, ClosedAt: s.Now().UTC(), ClosedBy: p.Name, Hash: frozen.Hash, Figures: frozen.Figures}
		if err := tx.ClosePeriod(closed); err != nil {
			return err
		}
		return tx.Record(s.audit(p, "close month", month.String(), "figures "+closed.Hash))
	})
	return closed, err
}

// stillOpen refuses a month that is closed, by itself or with a later one.
func stillOpen(periods []Period, month costing.Period) error {
	for _, p := range periods {
		switch {
		case p.Month == month:
			return fmt.Errorf("%s was closed by %s on %s: %w", month, p.ClosedBy, p.ClosedAt.Format("2006-01-02"), ErrExists)
		case p.Month > month:
			return fmt.Errorf("%s is closed with %s, which comes after it: %w", month, p.Month, ErrExists)
		}
	}
	return nil
}

// closable says what stands against closing a month.
func (s *Shop) closable(r Reader, month costing.Period, periods []Period) error {
	if last := month.Last(); s.Today() <= last {
		return fmt.Errorf("%s is not over before %s: %w", month, last+1, ErrNotClosable)
	}
	months, err := r.MonthsMoved()
	if err != nil {
		return err
	}
	for _, m := range months {
		if m < month && (len(periods) == 0 || m > periods[len(periods)-1].Month) {
			return fmt.Errorf("%s has movements and is open: close it before %s: %w", m, month, ErrNotClosable)
		}
	}
	if err := noneOpen(r, month); err != nil {
		return err
	}
	broken, err := r.Discrepancies()
	if err == nil && len(broken) > 0 {
		d := broken[0]
		err = fmt.Errorf("the books do not verify, %d broken, first %s: %s: %s: %w", len(broken), d.Invariant, d.Subject, d.Detail, ErrNotClosable)
	}
	return err
}

// tiesOut refuses a month of whose books a check differs.
func (s *Shop) tiesOut(r Reader, month costing.Period) error {
	k := bookkeeping{shop: s, r: r, books: &Books{From: month, To: month}}
	if err := k.run(); err != nil {
		return err
	}
	if err := k.books.Reconciled(); err != nil {
		return fmt.Errorf("%w: %w", err, ErrNotClosable)
	}
	return nil
}

// unfinished gives the batches planned up to the end of the month that are released and not finished.
func unfinished(r Reader, month costing.Period) ([]batch.Batch, error) {
	released, err := r.Batches(BatchFilter{Status: batch.Released})
	return slices.DeleteFunc(released, func(b batch.Batch) bool { return b.Date > month.Last() }), err
}

// noneOpen refuses while a batch planned up to the end of the month is released and not finished: its result would belong there.
func noneOpen(r Reader, month costing.Period) error {
	released, err := unfinished(r, month)
	if err != nil || len(released) == 0 {
		return err
	}
	const most = 5
	var names []string
	for _, b := range released[:min(len(released), most)] {
		names = append(names, string(b.Code))
	}
	if len(released) > most {
		names = append(names, fmt.Sprintf("%d more", len(released)-most))
	}
	return fmt.Errorf("released and without a last result: %s: post what was wound, or take them back: %w", strings.Join(names, ", "), ErrNotClosable)
}

// ReopenMonth opens the last closed month again, with a reason that is kept for ever beside the figures it was closed with. Only an
// owner may.
func (s *Shop) ReopenMonth(ctx context.Context, month costing.Period, reason string) error {
	p, err := allow(ctx, "reopening a month", Owner)
	if err != nil {
		return err
	}
	if reason, err = because(reason); err != nil {
		return err
	}
	return s.Store.InTx(ctx, func(tx Tx) error {
		periods, err := tx.Periods()
		if err != nil {
			return err
		}
		i := slices.IndexFunc(periods, func(p Period) bool { return p.Month == month })
		switch {
		case i < 0:
			return fmt.Errorf("closed month %s: %w", month, ErrNotFound)
		case i < len(periods)-1:
			return fmt.Errorf("%s is closed after %s: reopen it first: %w", periods[len(periods)-1].Month, month, ErrStage)
		}
		act := Closing{Month: month, Act: Reopened, At: s.Now().UTC(), Person: p.Name, Reason: reason, Hash: periods[i].Hash}
		if err := tx.ReopenPeriod(act); err != nil {
			return err
		}
		return tx.Record(s.audit(p, "reopen month", month.String(), reason+"; figures "+act.Hash))
	})
}

// Months lists the months that have movements or were ever closed, the newest first. Everyone in the shop may read them.
func (s *Shop) Months(ctx context.Context) (months []Month, err error) {
	if _, err := allow(ctx, "reading the books", Roles()...); err != nil {
		return nil, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		moved, err := r.MonthsMoved()
		if err != nil {
			return err
		}
		periods, err := r.Periods()
		if err != nil {
			return err
		}
		closings, err := r.Closings()
		if err != nil {
			return err
		}
		months = monthsOf(moved, periods, closings)
		return nil
	})
	return months, err
}

func monthsOf(moved []costing.Period, periods []Period, closings []Closing) []Month {
	all := map[costing.Period]*Month{}
	at := func(m costing.Period) *Month {
		if all[m] == nil {
			all[m] = &Month{Month: m}
		}
		return all[m]
	}
	for _, m := range moved {
		at(m)
	}
	for i, p := range periods {
		at(p.Month).Closed = &periods[i]
	}
	for _, c := range closings {
		m := at(c.Month)
		m.Closings = append(m.Closings, c)
	}
	list := make([]Month, 0, len(all))
	for _, m := range all {
		m.Before = m.Closed == nil && len(periods) > 0 && m.Month < periods[len(periods)-1].Month
		list = append(list, *m)
	}
	slices.SortFunc(list, func(a, b Month) int { return int(b.Month - a.Month) })
	return list
}
