package workshop

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/intake"
	"windingroom/internal/stock"
)

// DoneForm is what a winder says when a batch is done, or handed over with strings to come.
type DoneForm struct {
	Batch     batch.Code
	Good      int
	Scrapped  int
	Minutes   time.Duration
	Continues bool   // the batch goes on: later, on another day, by somebody else
	Key       string // idempotency key of the person's own, or empty
}

// FinishBatch posts what came off the machine, as PostResult does, wound today by those who counted it, with the spools that were
// switched at the bench. The figures are the form's: the tally is what they began with. The same key again changes nothing. Winders,
// leads and owners may.
func (s *Shop) FinishBatch(ctx context.Context, f DoneForm) (ResultPosted, error) {
	p, err := allow(ctx, "posting results", Winder, Lead)
	if err != nil {
		return ResultPosted{}, err
	}
	if f.Key != "" {
		f.Key = "result " + ownKey(p, f.Key)
	}
	var out ResultPosted
	err = s.Store.InTx(ctx, func(tx Tx) error {
		var found bool
		if out, found, err = doneBefore(tx, f); err != nil || found {
			return err
		}
		b, err := released(tx, f.Batch)
		if err != nil {
			return err
		}
		results, err := tx.Results(b.Code)
		if err != nil {
			return err
		}
		tally, err := tallyOf(tx, b.Code)
		if err != nil {
			return err
		}
		form := ResultForm{Batch: b.Code, WoundOn: s.Today(), Good: f.Good, Scrapped: f.Scrapped, Minutes: f.Minutes, Person: p.Name, Continues: f.Continues, Key: f.Key}
		if len(tally.People) > 0 {
			form.Person = strings.Join(tally.People, ", ")
		}
		for _, fed := range b.Fed(f.Good+f.Scrapped, batch.Wound(results), tally.Feeds) {
			form.Spools = append(form.Spools, intake.SpoolStrings{Spool: string(fed.Spool), Strings: fed.Strings})
		}
		w := newPoster(s, tx, p)
		if out, err = w.post(form); err != nil {
			return err
		}
		return w.settle()
	})
	return out, err
}

// doneBefore finds what the same key has posted.
func doneBefore(r Reader, f DoneForm) (out ResultPosted, found bool, err error) {
	if f.Key == "" {
		return out, false, nil
	}
	out.Result, err = r.ResultByKey(f.Key)
	if errors.Is(err, ErrNotFound) {
		return out, false, nil
	}
	if err != nil {
		return out, false, err
	}
	if !strings.EqualFold(string(out.Result.Batch), string(f.Batch)) || out.Result.Good != f.Good || out.Result.Scrapped != f.Scrapped {
		return out, false, fmt.Errorf("this key has posted %s of batch %s: %w", figures(out.Result), out.Result.Batch, ErrExists)
	}
	out.Unchanged = true
	out.Batch, err = r.Batch(out.Result.Batch)
	return out, true, err
}

// undoWithin is how long after a weighing the one who weighed may take it back.
const undoWithin = 10 * time.Minute

// UndoWeighing takes back a weigh-back or a count that one has just made oneself, as Reverse does; an older one, or another's, is for
// a lead. Who may count may.
func (s *Shop) UndoWeighing(ctx context.Context, id stock.MovementID) (out Posted, err error) {
	p, err := allow(ctx, "taking back a weighing", Winder, Lead, Bookkeeper)
	if err != nil {
		return out, err
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		m, err := tx.Movement(id)
		switch {
		case err != nil:
			return err
		case m.Kind != stock.WeighBack && m.Kind != stock.CountDifference || m.Person != p.Name || s.Now().Sub(m.PostedAt) > undoWithin:
			return fmt.Errorf("movement %d is no weighing that %s made in the last minutes; a lead may reverse it: %w", id, p.Name, ErrStage)
		}
		const reason = "taken back at once"
		back, err := s.takeBackMovement(tx, p, m, reason)
		if err != nil {
			return fmt.Errorf("movement %d: %w", id, err)
		}
		if err := tx.Record(s.audit(p, "reverse movement", string(m.Spool), fmt.Sprintf("movement %d by %d: %s", id, back.ID, reason))); err != nil {
			return err
		}
		out, err = posted(tx, back)
		return err
	})
	return out, err
}
