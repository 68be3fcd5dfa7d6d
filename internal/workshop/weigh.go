package workshop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
)

// Weigh is a reading of a spool on the scale.
type Weigh struct {
	Spool     stock.SpoolCode
	Gross     measure.Mass  // with the spool
	Second    *measure.Mass // a second reading, after the spool was taken off; nil for none
	At        time.Time     // when it was weighed; zero for now, after everything that is posted
	Note      string
	Confirmed bool   // the word of a lead or an owner that a surprising reading is right
	Key       string // idempotency key of the person's own, or empty
}

// Weighed is what became of a weighing.
type Weighed struct {
	Posted
	Weighing Weighing
	Why      string     // for people: what was seen and what became of it; empty for a weighing that was posted before
	Short    []ShortCut // wire that batches were promised and that is not there
}

// ShortCut is wire that was taken away from a batch's draw.
type ShortCut struct {
	Batch batch.Code
	Mass  measure.Mass
}

// Weigh weighs a spool back: from then on it holds what the scale says, by one movement, also where nothing differs. The
// difference is charged to the batches that drew on the spool since it was last weighed, noise to nobody. Where less is left than
// batches were promised, the batches wound last lose it. A reading that is hard to believe is refused with stock.ErrUnconfirmed
// unless a second one repeats it or a lead or an owner confirms it; one that cannot be, with stock.ErrImpossible. A weighing as of
// an earlier instant is judged by what the books say of that instant; its difference moves today's balance unless the spool was
// weighed again since, which stands. Winders, leads and owners may.
func (s *Shop) Weigh(ctx context.Context, in Weigh) (Weighed, error) {
	p, err := allow(ctx, "weighing a spool", Winder, Lead)
	if err != nil {
		return Weighed{}, err
	}
	return s.weigh(ctx, p, in, stock.WeighBack)
}

// Count weighs a spool at a stock-take. It is Weigh under another kind of movement; a bookkeeper may count too.
func (s *Shop) Count(ctx context.Context, in Weigh) (Weighed, error) {
	p, err := allow(ctx, "counting a spool", Winder, Lead, Bookkeeper)
	if err != nil {
		return Weighed{}, err
	}
	return s.weigh(ctx, p, in, stock.CountDifference)
}

func (s *Shop) weigh(ctx context.Context, p Person, in Weigh, kind stock.Kind) (out Weighed, err error) {
	in.Note = strings.TrimSpace(in.Note)
	switch {
	case in.Gross < 0:
		return out, wrong("gross_g", "%s must not be negative, in grams", in.Gross.GramText())
	case in.At.After(s.Now()):
		return out, wrong("at", "%s lies in the future", in.At.Format(time.RFC3339))
	case len(in.Note) > mostWords:
		return out, wrong("note", "is %d bytes long; at most %d", len(in.Note), mostWords)
	case fits(in.Key) != nil:
		return out, fits(in.Key)
	}
	key := movementKey(string(kind), p, in.Key)
	err = s.Store.InTx(ctx, func(tx Tx) error {
		m, found, err := postedBefore(tx, key, in.Spool)
		if err != nil {
			return err
		}
		if found {
			err = in.repeats(tx, m)
		}
		if err != nil {
			return err
		}
		if !found {
			job := weighJob{shop: s, tx: tx, person: p, in: in}
			job.move = stock.Movement{Kind: kind, Key: key, Source: "scale", Reason: reasonOf(in.Note, kind)}
			if m, err = job.run(ctx); err != nil {
				return err
			}
			out = job.out
		}
		if out.Posted, err = posted(tx, m); err != nil {
			return err
		}
		out.Weighing, err = tx.Weighing(m.ID)
		return err
	})
	if err != nil {
		return Weighed{}, err
	}
	return out, nil
}

// repeats refuses another reading under the key of one that is posted.
func (in Weigh) repeats(r Reader, m stock.Movement) error {
	said, err := r.Weighing(m.ID)
	if err != nil {
		return err
	}
	if said.Gross != in.Gross || !in.At.IsZero() && !in.At.Equal(m.EffectiveAt) {
		return fmt.Errorf("this key has posted movement %d, for which spool %s weighed %s gross at %s: %w", m.ID, m.Spool, said.Gross,
			m.EffectiveAt.Format(time.RFC3339), ErrExists)
	}
	return nil
}

func reasonOf(note string, kind stock.Kind) string {
	if note != "" {
		return note
	}
	if kind == stock.CountDifference {
		return "counted"
	}
	return "weighed back"
}

// weighJob is one weighing on its way into the books.
type weighJob struct {
	shop   *Shop
	tx     Tx
	person Person
	in     Weigh
	move   stock.Movement
	again  bool         // it was weighed again since, so nothing moves today
	least  measure.Mass // of what the books say it held from then on, to the next weighing
	most   measure.Mass
	out    Weighed
}

func (j *weighJob) run(ctx context.Context) (stock.Movement, error) {
	now, weighing, err := j.read()
	if err != nil {
		return j.move, err
	}
	verdict, err := j.judge(ctx, weighing)
	if err != nil {
		return j.move, err
	}
	if j.again {
		err = j.goesBetween(now, verdict.Difference)
		verdict.Why += "; it was weighed again since and holds what that weighing found"
	} else {
		now, err = j.makeRoom(now, verdict.Difference)
	}
	if err != nil {
		return j.move, err
	}
	if j.move, err = j.shop.post(j.tx, j.person, now, verdict.Difference, j.move); err != nil {
		return j.move, err
	}
	err = j.tx.KeepWeighing(Weighing{
		Movement: j.move, Gross: weighing.Gross, Tare: now.Tare, Book: verdict.Book, Net: verdict.Net, Uncertainty: verdict.Uncertainty,
		Noise: verdict.Noise, Surprise: verdict.Surprise, Note: j.in.Note, Shares: verdict.Shares,
	})
	if err != nil {
		return j.move, err
	}
	j.out.Why = verdict.Why
	return j.move, j.tx.Record(j.shop.audit(j.person, "weigh spool", string(now.Code), verdict.Why))
}

// goesBetween refuses a difference that does not go with what was posted between the weighing and the next.
func (j *weighJob) goesBetween(b stock.Balance, difference measure.Mass) error {
	for _, b.Mass = range []measure.Mass{j.least, j.most} {
		if err := b.Check(difference); err != nil {
			return fmt.Errorf("the difference of %s as of then does not go with what happened before the next weighing: %w", difference, err)
		}
	}
	return nil
}

// makeRoom takes from batches what is not there, so that the difference can be posted.
func (j *weighJob) makeRoom(now stock.Balance, difference measure.Mass) (stock.Balance, error) {
	if err := now.Check(difference); err != nil {
		return now, fmt.Errorf("the difference of %s as of then cannot be posted any more: %w", difference, err)
	}
	if err := j.cut(now, difference); err != nil {
		return now, err
	}
	return j.tx.Spool(now.Code)
}

// read puts the reading beside what the books say of its moment, and gives the spool as it is now.
func (j *weighJob) read() (now stock.Balance, w stock.Weighing, err error) {
	if now, err = j.tx.Spool(j.in.Spool); err != nil {
		return now, w, err
	}
	all, err := historyOf(j.tx, now.Code, time.Time{})
	if err != nil {
		return now, w, err
	}
	h := stock.HistoryOf(all, j.in.At)
	if len(h) == 0 {
		return now, w, wrong("at", "%s is before spool %s was received on %s", j.in.At.Format(time.RFC3339), now.Code, now.ReceivedOn)
	}
	j.move.EffectiveAt = j.in.At.UTC()
	if j.in.At.IsZero() {
		j.move.EffectiveAt = j.shop.after(h)
	}
	var next stock.Movement
	if next, j.again = all.WeighedSince(j.move); j.again {
		j.least, j.most = all.Between(j.move, next)
	}
	practice, err := j.tx.Practice()
	if err != nil {
		return now, w, err
	}
	w = stock.Weighing{Balance: now, Gross: j.in.Gross, Scale: stock.Scale{Resolution: practice.ScaleResolution}, Drawn: h.Drawn()}
	w.Balance.Mass = h.Mass()
	if err := recipesInto(j.tx, w.Drawn); err != nil {
		return now, w, err
	}
	if w.TareSpread, err = spreadOf(j.tx, now.Type); err != nil {
		return now, w, err
	}
	if j.in.Second != nil {
		if w.Confirmed = w.Scale.Repeats(j.in.Gross, *j.in.Second); !w.Confirmed {
			return now, w, wrong("second_g", "%s does not repeat %s on a scale with steps of %s: take the spool off and weigh it twice again",
				*j.in.Second, j.in.Gross, w.Scale.Resolution)
		}
	}
	return now, w, nil
}

// recipesInto notes whose wire factor each computed draw hangs on.
func recipesInto(r Reader, drawn []stock.Drawn) error {
	codes := make([]batch.Code, len(drawn))
	for i, d := range drawn {
		codes[i] = batch.Code(d.Source)
	}
	recipes, err := r.RecipesOf(codes)
	if err != nil {
		return err
	}
	for i, d := range drawn {
		drawn[i].Recipe = string(recipes[batch.Code(d.Source)])
	}
	return nil
}

// judge asks what the reading means; a surprise is believed on the word of a lead or an owner.
func (j *weighJob) judge(ctx context.Context, w stock.Weighing) (stock.Verdict, error) {
	practice, err := j.tx.Practice()
	if err != nil {
		return stock.Verdict{}, err
	}
	limit := stock.LossLimit{OfDrawn: practice.LossOfDrawn, OfReceived: practice.LossOfReceived}
	if unposted, err := j.unposted(w, limit); err != nil {
		return stock.Verdict{}, err
	} else if unposted != "" && !j.in.Confirmed {
		verdict, _ := stock.Judge(w, limit)
		return verdict, fmt.Errorf("spool %s holds %s less than the books say, and %s: post that result first, or confirm (as a lead) that it is not wound yet: %w",
			w.Balance.Code, -verdict.Difference, unposted, stock.ErrUnconfirmed)
	}
	verdict, err := stock.Judge(w, limit)
	if !errors.Is(err, stock.ErrUnconfirmed) || !j.in.Confirmed {
		return verdict, err
	}
	if _, err := allow(ctx, "confirming a surprising weighing", Lead); err != nil {
		return verdict, err
	}
	w.Confirmed = true
	return stock.Judge(w, limit)
}

// unposted tells of released batches that would draw on the spool and have no result yet, where the reading is a surprising loss:
// most often they are wound and not written up, and a second reading would not find that out.
func (j *weighJob) unposted(w stock.Weighing, limit stock.LossLimit) (string, error) {
	w.Confirmed = false
	verdict, err := stock.Judge(w, limit)
	if verdict.Surprise != stock.MuchGone || !errors.Is(err, stock.ErrUnconfirmed) {
		return "", nil
	}
	holders, err := j.tx.Holders(w.Balance.Code)
	if err != nil || len(holders) == 0 {
		return "", err
	}
	told := make([]string, len(holders))
	for i, h := range holders {
		told[i] = fmt.Sprintf("batch %s, released for %s, would draw %s", h.Batch, h.Date, h.Mass)
	}
	return strings.Join(told, ", "), nil
}

// cut takes away from the batches wound last what they were promised and is not there.
func (j *weighJob) cut(now stock.Balance, difference measure.Mass) error {
	short := now.Allocated - (now.Mass + difference)
	if short <= 0 {
		return nil
	}
	holders, err := j.tx.Holders(now.Code)
	if err != nil {
		return err
	}
	for _, h := range slices.Backward(holders) {
		mass := min(h.Mass, short)
		if mass == 0 {
			continue
		}
		if err := j.tx.SetDrawAllocated(h.Batch, h.Number, h.Mass-mass); err != nil {
			return err
		}
		if err := j.tx.Allocate(now.Code, -mass); err != nil {
			return err
		}
		j.out.Short = append(j.out.Short, ShortCut{h.Batch, mass})
		detail := fmt.Sprintf("%s of spool %s that was weighed and is not there", mass, now.Code)
		if err := j.tx.Record(j.shop.audit(j.person, "cut allocation", string(h.Batch), detail)); err != nil {
			return err
		}
		short -= mass
	}
	return nil
}
