package workshop

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/stock"
)

// ResultForm is what a winder says of a batch.
type ResultForm struct {
	Batch     batch.Code
	WoundOn   calendar.Date // zero for the batch's day
	Good      int
	Scrapped  int
	Minutes   time.Duration
	Person    string
	Continues bool                  // the batch goes on another day
	Spools    []intake.SpoolStrings // where the bench did not take a wire from the planned spools in their order
	Key       string                // idempotency key: the same key posts once
}

// ResultPosted is a result as it stands in the books.
type ResultPosted struct {
	Batch     batch.Batch
	Result    batch.Result
	Unchanged bool // it was here already
}

// PostResult posts what came off the machine: the wire that was really drawn, the good strings to the orders that the batch
// serves, the earliest due first, and the rest to finished stock. Without Continues the batch is then finished, what it held is
// free again, and strings that are still missing are open for the next plan. The same result again changes nothing; a batch
// that was posted with other figures is refused with ErrStage. Winders, leads and owners may.
func (s *Shop) PostResult(ctx context.Context, form ResultForm) (ResultPosted, error) {
	p, err := allow(ctx, "posting results", Winder, Lead)
	if err != nil {
		return ResultPosted{}, err
	}
	if err := fits(form.Key); err != nil {
		return ResultPosted{}, err
	}
	if form.Key != "" {
		form.Key = "result " + ownKey(p, form.Key)
	}
	var out ResultPosted
	err = s.Store.InTx(ctx, func(tx Tx) error {
		w := newPoster(s, tx, p)
		if out, err = w.post(form); err != nil {
			return err
		}
		return w.settle()
	})
	return out, err
}

// ResultsReport says what a file of results did.
type ResultsReport struct {
	Date    calendar.Date
	Results []ResultPosted // in the order of the rows
}

// Changes says whether anything was posted.
func (r ResultsReport) Changes() bool {
	for _, p := range r.Results {
		if !p.Unchanged {
			return true
		}
	}
	return false
}

// PostResults posts the results of a day, all of them or none. The same rows again change nothing. The error is intake.Problems
// where rows are wrong, all of them told. Winders, leads and owners may.
func (s *Shop) PostResults(ctx context.Context, date calendar.Date, file *intake.Results) (ResultsReport, error) {
	p, err := allow(ctx, "posting results", Winder, Lead)
	if err != nil {
		return ResultsReport{}, err
	}
	var report ResultsReport
	var problems intake.Problems
	err = s.Store.InTx(ctx, func(tx Tx) error {
		told := *file // the transaction may run again from the start
		report = ResultsReport{Date: date}
		w := newPoster(s, tx, p)
		seen, last := map[string]int{}, lastRows(told.Rows)
		for i, row := range told.Rows {
			row.Continues = row.Continues || i < last[strings.ToLower(row.Batch)]
			if row.Bad {
				continue
			}
			out, err := w.postRow(date, row, seen)
			if err == nil {
				report.Results = append(report.Results, out)
				continue
			}
			column, refused := columnOf(err)
			if !refused {
				return err
			}
			told.Fail(row, column, textOf(err))
		}
		if problems = told.Problems(); len(problems) > 0 {
			return problems
		}
		return w.settle()
	})
	return report, err
}

// lastRows gives the last row of each batch: where several people wound one batch in a day, only that row ends it.
func lastRows(rows []intake.ResultRow) map[string]int {
	last := make(map[string]int, len(rows))
	for i, row := range rows {
		last[strings.ToLower(row.Batch)] = i
	}
	return last
}

// postRow posts one row of a file. Its key is the day, the batch and who wound: two may share a batch.
func (w *poster) postRow(date calendar.Date, row intake.ResultRow, seen map[string]int) (ResultPosted, error) {
	key := strings.ToLower(fmt.Sprintf("wound %s %s %s", date, row.Batch, row.Person))
	if earlier, twice := seen[key]; twice {
		return ResultPosted{}, wrong("batch", "%s by %s is already on line %d", row.Batch, row.Person, earlier)
	}
	seen[key] = row.Line
	return w.post(ResultForm{
		Batch: batch.Code(row.Batch), WoundOn: date, Good: row.Good, Scrapped: row.Scrapped, Minutes: row.Minutes, Person: row.Person,
		Continues: row.Continues, Spools: row.Spools, Key: key,
	})
}

// columnOf names the column behind a refusal of one row; an error that is no refusal of the row has none.
func columnOf(err error) (column string, refused bool) {
	var fields intake.Problems
	switch {
	case err == nil:
		return "", false
	case errors.As(err, &fields):
		return fields[0].Column, true
	case errors.Is(err, ErrShort), errors.Is(err, batch.ErrSpools):
		return "spools", true
	case errors.Is(err, ErrNotFound), errors.Is(err, ErrStage), errors.Is(err, ErrNotReleased), errors.Is(err, ErrClosed):
		return "batch", true
	}
	return "", false
}

// textOf gives what is wrong without the name of the field, which stands beside it.
func textOf(err error) string {
	var fields intake.Problems
	if errors.As(err, &fields) {
		return fields[0].Text
	}
	return err.Error()
}

// check says what is wrong that needs no book.
func (f *ResultForm) check() error {
	f.Person = strings.TrimSpace(f.Person)
	const most = 100_000
	switch {
	case f.Good < 0 || f.Good > most:
		return wrong("good", "%d is not a number of strings from 0 to %d", f.Good, most)
	case f.Scrapped < 0 || f.Scrapped > most:
		return wrong("scrapped", "%d is not a number of strings from 0 to %d", f.Scrapped, most)
	case f.Minutes < 0 || f.Minutes > 24*time.Hour:
		return wrong("minutes", "%v is not from 0 to 1440", f.Minutes.Minutes())
	case f.Person == "":
		return wrong("person", "is needed: who wound")
	case len(f.Person) > mostWords:
		return wrong("person", "is %d bytes long; at most %d", len(f.Person), mostWords)
	}
	return nil
}

// same says whether a result that stands says what the form says.
func (f ResultForm) same(r batch.Result) bool {
	return r.Good == f.Good && r.Scrapped == f.Scrapped && r.Minutes == f.Minutes && strings.EqualFold(r.Person, f.Person) &&
		r.Continues == f.Continues && (f.WoundOn.IsZero() || f.WoundOn == r.WoundOn) && f.sameSpools(r)
}

// sameSpools compares only what the form names: the rest was taken as planned.
func (f ResultForm) sameSpools(r batch.Result) bool {
	for _, s := range f.Spools {
		found := false
		for _, d := range r.Draws {
			found = found || strings.EqualFold(string(d.Spool), s.Spool) && d.Strings == s.Strings
		}
		if !found {
			return false
		}
	}
	return true
}

// before finds a result that is here already under the form's key, or that finished the batch with the same figures.
func (w *poster) before(f ResultForm, b batch.Batch, results []batch.Result) (batch.Result, bool, error) {
	for _, r := range results {
		if r.Stands() && f.Key != "" && r.Key == f.Key {
			if f.same(r) {
				return r, true, nil
			}
			return r, false, fmt.Errorf("batch %s is posted already with %s: undo that result first if it is wrong: %w", b.Code, figures(r), ErrStage)
		}
	}
	if f.Key != "" {
		other, err := w.tx.ResultByKey(f.Key)
		switch {
		case err == nil:
			return other, false, fmt.Errorf("this key has posted a result of batch %s: %w", other.Batch, ErrExists)
		case !errors.Is(err, ErrNotFound):
			return other, false, err
		}
	}
	if b.Status != batch.Finished {
		return batch.Result{}, false, nil
	}
	said := ""
	for _, r := range results {
		if r.Stands() {
			if f.same(r) {
				return r, true, nil
			}
			said = figures(r)
		}
	}
	return batch.Result{}, false, fmt.Errorf("batch %s is finished, its last result is %s: undo it first if it is wrong: %w", b.Code, said, ErrStage)
}

func figures(r batch.Result) string {
	text := fmt.Sprintf("%d good, %d scrapped, %g min by %s on %s", r.Good, r.Scrapped, r.Minutes.Minutes(), r.Person, r.WoundOn)
	if r.Continues {
		text += ", to go on"
	}
	return text
}

// named finds the spools that the bench names.
func (w *poster) named(f ResultForm) ([]batch.SpoolStrings, error) {
	var all []batch.SpoolStrings
	for _, s := range f.Spools {
		b, err := w.tx.Spool(stock.SpoolCode(s.Spool))
		if err != nil {
			return nil, wrong("spools", "%v", err)
		}
		if b.State == stock.Quarantined {
			return nil, wrong("spools", "spool %s is quarantined: release it first", b.Code)
		}
		all = append(all, batch.SpoolStrings{Spool: b.Code, Wire: b.Wire, Strings: s.Strings})
	}
	return all, nil
}

// settle keeps the promises of the wires that were touched.
func (w *poster) settle() error {
	wires := make([]material.WireCode, 0, len(w.touched))
	for wire := range w.touched {
		wires = append(wires, wire)
	}
	return w.shop.settle(w.tx, w.person, wires...)
}

// BatchStory is a batch with its results.
type BatchStory struct {
	Batch   batch.Batch
	Results []batch.Result // by number, undone ones too
}

// Batch tells where a batch stands; ErrNotFound when there is none of that code. Everyone in the shop may see it.
func (s *Shop) Batch(ctx context.Context, code batch.Code) (BatchStory, error) {
	if _, err := allow(ctx, "seeing batches", Roles()...); err != nil {
		return BatchStory{}, err
	}
	var story BatchStory
	err := s.Store.Read(ctx, func(r Reader) (err error) {
		if story.Batch, err = r.Batch(code); err != nil {
			return err
		}
		story.Results, err = r.Results(story.Batch.Code)
		return err
	})
	return story, err
}

// FinishedStock lists the good strings that no order owns. Everyone in the shop may see it.
func (s *Shop) FinishedStock(ctx context.Context) ([]FinishedStrings, error) {
	if _, err := allow(ctx, "seeing the stock", Roles()...); err != nil {
		return nil, err
	}
	var list []FinishedStrings
	err := s.Store.Read(ctx, func(r Reader) (err error) {
		list, err = r.FinishedStock()
		return err
	})
	return list, err
}
