package workshop

import (
	"context"
	"fmt"
	"slices"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/costing"
)

// Outlook says which month is closed next and what stands against it.
type Outlook struct {
	Month      costing.Period   // the first open one; zero: nothing ever moved
	Behind     []costing.Period // open months after it that are over too, in order
	Last       *Period          // that was closed; nil: none ever
	From       calendar.Date    // the first day on which the month can be closed
	Over       bool             // that day is here
	Batches    []batch.Batch    // released and without a last result, whose work belongs into the month or before
	Broken     []Discrepancy    // what Verify finds, once the month is over
	VerifiedAt time.Time        // zero: it was not asked; closing asks it in any case
	Checks     []Check          // of the month's books as they stand
}

// Off gives the checks that differ.
func (o Outlook) Off() []Check {
	return slices.DeleteFunc(slices.Clone(o.Checks), func(c Check) bool { return c.Difference() == 0 })
}

// Ready says whether nothing stands against closing the month.
func (o Outlook) Ready() bool {
	return o.Month != 0 && o.Over && len(o.Batches) == 0 && len(o.Broken) == 0 && len(o.Off()) == 0
}

// NextClosing looks at the month that is closed next, with everything that stands against it and not only the first. Only a bookkeeper or
// an owner may.
func (s *Shop) NextClosing(ctx context.Context) (out Outlook, err error) {
	if _, err := allow(ctx, "looking at what closes next", Bookkeeper); err != nil {
		return out, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		periods, err := r.Periods()
		if err != nil {
			return err
		}
		moved, err := r.MonthsMoved()
		if err != nil {
			return err
		}
		if out = s.outlook(moved, periods); out.Month == 0 {
			return nil
		}
		if out.Batches, err = unfinished(r, out.Month); err != nil {
			return err
		}
		if out.Over {
			if out.Broken, out.VerifiedAt, err = s.verified.look(r, s.Now()); err != nil {
				return err
			}
		}
		k := bookkeeping{shop: s, r: r, openings: &s.openings, books: &Books{Shop: s.Name, From: out.Month, To: out.Month}}
		if err := k.run(); err != nil {
			return fmt.Errorf("books of %s: %w", out.Month, err)
		}
		out.Checks = k.books.Checks
		return nil
	})
	return out, err
}

// outlook finds the months, of those that have movements: after a closed one its next, though nothing may have moved in it yet.
func (s *Shop) outlook(moved []costing.Period, periods []Period) (out Outlook) {
	present := costing.PeriodOf(s.Today())
	switch n := len(periods); {
	case n > 0:
		out.Last = &periods[n-1]
		out.Month = out.Last.Month + 1
	case len(moved) > 0 && moved[0] <= present:
		out.Month = moved[0]
	default:
		return out
	}
	out.From = out.Month.Last() + 1
	out.Over = s.Today() >= out.From
	for _, m := range moved {
		if m > out.Month && m < present {
			out.Behind = append(out.Behind, m)
		}
	}
	return out
}
