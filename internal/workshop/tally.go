package workshop

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"windingroom/internal/batch"
	"windingroom/internal/stock"
)

// What the bench says while it winds is kept as marks of a tally, not posted: the ledger moves once, when the batch is done or handed
// over. Nothing is lost with a tablet, and taking a mark back needs no reversal.

// Marked is a mark with what is counted since the batch's last result.
type Marked struct {
	Mark  batch.Mark
	Tally batch.Tally
}

// BeginBatch notes that a machine is being set up for a batch. One that is begun stays so. Winders, leads and owners may.
func (s *Shop) BeginBatch(ctx context.Context, code batch.Code) (Marked, error) {
	return s.mark(ctx, "beginning a batch", code, "", func(_ Tx, _ batch.Batch, t batch.Tally) (m batch.Mark, err error) {
		m.Kind = batch.Begin
		if t.Running() {
			m.Kind = ""
		}
		return m, nil
	})
}

// CountForm is strings that came off the machine.
type CountForm struct {
	Batch          batch.Code
	Good, Scrapped int    // below zero takes away what was counted too much
	Reason         string // why they are scrap
	Key            string // idempotency key of the person's own, or empty
}

// CountStrings counts strings of a released batch. The count is kept until a result takes it into the books. It is refused where less
// than nothing would be counted. Winders, leads and owners may.
func (s *Shop) CountStrings(ctx context.Context, f CountForm) (Marked, error) {
	const most = 1000
	f.Reason = strings.TrimSpace(f.Reason)
	switch {
	case f.Good < -most || f.Good > most:
		return Marked{}, wrong("good", "%d is not a number of strings up to %d", f.Good, most)
	case f.Scrapped < -most || f.Scrapped > most:
		return Marked{}, wrong("scrapped", "%d is not a number of strings up to %d", f.Scrapped, most)
	case f.Scrapped > 0 && f.Reason == "":
		return Marked{}, wrong("reason", "is needed: why it is scrap")
	case len(f.Reason) > mostWords:
		return Marked{}, wrong("reason", "is %d bytes long; at most %d", len(f.Reason), mostWords)
	}
	return s.mark(ctx, "counting strings", f.Batch, f.Key, func(_ Tx, b batch.Batch, t batch.Tally) (batch.Mark, error) {
		m := batch.Mark{Kind: batch.Count, Good: f.Good, Scrapped: f.Scrapped, Reason: f.Reason}
		if f.Good == 0 && f.Scrapped == 0 {
			m.Kind = ""
		}
		return m, enough(b, t.Good+f.Good, t.Scrapped+f.Scrapped)
	})
}

func enough(b batch.Batch, good, scrapped int) error {
	if good < 0 || scrapped < 0 {
		return fmt.Errorf("of batch %s %d good and %d scrapped would be counted: %w", b.Code, good, scrapped, ErrStage)
	}
	return nil
}

// SwitchSpool notes that the next strings of a batch are wound from another spool of one of its wires. It is refused where the spool
// holds none of them, is quarantined, or is empty. The same spool again changes nothing. Winders, leads and owners may.
func (s *Shop) SwitchSpool(ctx context.Context, code batch.Code, spool stock.SpoolCode, key string) (Marked, error) {
	return s.mark(ctx, "changing a spool", code, key, func(tx Tx, b batch.Batch, t batch.Tally) (m batch.Mark, err error) {
		on, err := tx.Spool(spool)
		if err != nil {
			return m, wrong("spool", "%v", err)
		}
		results, err := tx.Results(b.Code)
		if err != nil {
			return m, err
		}
		loaded := b.Next(batch.Wound(results), t)
		was, takes := loaded[on.Wire]
		switch {
		case !takes:
			return m, wrong("spool", "%s holds %s, and batch %s takes %s", on.Code, on.Wire, b.Code, codes(b.Wires()))
		case on.State == stock.Quarantined:
			return m, wrong("spool", "%s is quarantined: take another", on.Code)
		case on.Mass <= 0:
			return m, wrong("spool", "%s is empty in the books: take another, or weigh it first", on.Code)
		case was == on.Code:
			return m, nil
		}
		return batch.Mark{Kind: batch.Feed, Wire: on.Wire, Spool: on.Code}, nil
	})
}

func codes[C ~string](list []C) string {
	texts := make([]string, len(list))
	for i, c := range list {
		texts[i] = string(c)
	}
	return strings.Join(texts, " and ")
}

// mark adds what the bench says of a released batch. A mark without a kind says nothing new.
func (s *Shop) mark(ctx context.Context, act string, code batch.Code, key string, say func(Tx, batch.Batch, batch.Tally) (batch.Mark, error)) (out Marked, err error) {
	p, err := allow(ctx, act, Winder, Lead)
	if err != nil {
		return out, err
	}
	if key != "" {
		key = "mark " + ownKey(p, key)
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		if key != "" {
			again, err := tx.MarkByKey(key)
			if err == nil {
				out.Mark = again
				out.Tally, err = tallyOf(tx, again.Batch)
				return err
			}
			if !errors.Is(err, ErrNotFound) {
				return err
			}
		}
		b, err := released(tx, code)
		if err != nil {
			return err
		}
		if out.Tally, err = tallyOf(tx, b.Code); err != nil {
			return err
		}
		m, err := say(tx, b, out.Tally)
		if err != nil || m.Kind == "" {
			return err
		}
		m.Batch, m.At, m.Person, m.Key = b.Code, s.Now().UTC(), p.Name, key
		if out.Mark, err = tx.AddMark(m); err != nil {
			return err
		}
		out.Tally, err = tallyOf(tx, b.Code)
		return err
	})
	return out, err
}

// released gives a batch that may be wound.
func released(r Reader, code batch.Code) (batch.Batch, error) {
	b, err := r.Batch(code)
	switch {
	case err != nil:
		return b, err
	case b.Status == batch.Finished:
		return b, fmt.Errorf("batch %s is finished: %w", b.Code, ErrStage)
	case b.Status != batch.Released:
		return b, fmt.Errorf("batch %s is only proposed for %s: %w", b.Code, b.Date, ErrNotReleased)
	}
	return b, nil
}

func tallyOf(r Reader, code batch.Code) (batch.Tally, error) {
	marks, err := r.Marks(code)
	return batch.Tallied(marks[code]), err
}

// UndoMark takes back what the bench said, as long as no result took it. Taking it back twice changes nothing. Winders, leads and owners
// may.
func (s *Shop) UndoMark(ctx context.Context, code batch.Code, number int) (out Marked, err error) {
	if _, err = allow(ctx, "taking a count back", Winder, Lead); err != nil {
		return out, err
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		b, err := tx.Batch(code)
		if err != nil {
			return err
		}
		marks, err := tx.Marks(b.Code)
		if err != nil {
			return err
		}
		list := marks[b.Code]
		if number < 1 || number > len(list) {
			return fmt.Errorf("mark %d of batch %s: %w", number, b.Code, ErrNotFound)
		}
		out.Mark = list[number-1]
		switch m := out.Mark; {
		case !m.Stands():
		case m.Result != 0:
			return fmt.Errorf("result %d of batch %s took it already: undo that result: %w", m.Result, b.Code, ErrStage)
		default:
			t := batch.Tallied(list)
			if err := enough(b, t.Good-m.Good, t.Scrapped-m.Scrapped); err != nil {
				return err
			}
			if err := tx.UndoMark(b.Code, number, s.Now()); err != nil {
				return err
			}
		}
		out.Tally, err = tallyOf(tx, b.Code)
		return err
	})
	return out, err
}
