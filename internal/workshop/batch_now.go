package workshop

import (
	"context"
	"fmt"
	"slices"
	"time"

	"windingroom/internal/batch"
)

// BatchNow is a batch as its own page tells it: what the bench works by, how far it is, what came of it.
type BatchNow struct {
	Sheet    batch.Sheet
	Progress batch.Progress
	Reasons  []batch.ScrapReason // why strings were scrapped so far
	Results  []batch.Result      // by number, undone ones too
	Begins   time.Time           // the machines' day
}

// BatchNow tells everything of one batch, proposed or not; ErrNotFound when there is none of that code. Everyone in the shop may see it.
func (s *Shop) BatchNow(ctx context.Context, code batch.Code) (BatchNow, error) {
	if _, err := allow(ctx, "seeing batches", Roles()...); err != nil {
		return BatchNow{}, err
	}
	var out BatchNow
	err := s.Store.Read(ctx, func(r Reader) error {
		b, err := r.Batch(code)
		if err != nil {
			return err
		}
		out.Begins = s.begins(b.Date)
		if out.Sheet, err = sheetOf(r, b); err != nil {
			return err
		}
		marks, err := r.Marks(b.Code)
		if err != nil {
			return err
		}
		out.Reasons = batch.ScrapReasons(marks[b.Code])
		progress, err := progressOf(r, []batch.Batch{b})
		if err != nil {
			return err
		}
		out.Progress = progress[b.Code]
		out.Results, err = r.Results(b.Code)
		return err
	})
	return out, err
}

// sheetOf writes the sheet of one batch among all of its day.
func sheetOf(r Reader, b batch.Batch) (batch.Sheet, error) {
	day, err := r.Plan(b.Date)
	if err != nil {
		return batch.Sheet{}, err
	}
	desk, err := newDesk(r, slices.Collect(batchesOf(day.Plan)))
	if err != nil {
		return batch.Sheet{}, err
	}
	sheet, err := desk.sheet(b)
	if err != nil {
		return sheet, fmt.Errorf("batch %s: %w", b.Code, err)
	}
	last, err := r.LastIssues([]batch.Code{b.Code})
	sheet.Version = last[b.Code].Version
	return sheet, err
}
