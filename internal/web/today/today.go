package today

import (
	"bytes"
	"context"
	"errors"
	"fmt"

	"windingroom/exports"
	"windingroom/internal/calendar"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// today shows the plan of the shop's day, or of the one that is asked for.
func (p place) today(r *page.Request) (page.Reply, error) {
	date, err := r.Date("date")
	if err != nil {
		return page.Reply{}, err
	}
	ctx := r.Ctx()
	day, err := p.shop.Day(ctx, date)
	planned := err == nil
	if err != nil && !errors.Is(err, workshop.ErrNotFound) {
		return page.Reply{}, err
	}
	short, err := p.shop.Shortages(ctx)
	if err != nil {
		return page.Reply{}, err
	}
	v := newToday(r, date, shortagesView(short))
	if planned {
		v.Plan = newPlan(day, r.Site.Zone(), v.CanPlan)
	}
	return page.Show(todayTemplate, v), nil
}

func (p place) propose(r *page.Request) (page.Reply, error) {
	return p.onDay(r, p.shop.ProposeDay, func(day workshop.DayPlan) string {
		if day.Released {
			return "The day is already released, and there is nothing new to wind: it stands as it is."
		}
		if n := len(day.Standing()); n > 0 {
			return fmt.Sprintf("Proposed beside %s: %s in all. Look over what is new, then release it.", page.Plural(n, "batch that stands", "batches that stand"), countOf(day))
		}
		return fmt.Sprintf("Proposed: %s. Look it over, then release it.", countOf(day))
	})
}

func (p place) release(r *page.Request) (page.Reply, error) {
	return p.onDay(r, p.shop.ReleaseDay, func(day workshop.DayPlan) string {
		return fmt.Sprintf("Released: %s. The batch sheets are ready.", countOf(day))
	})
}

// onDay runs a use case on the day of the address and goes back to Today with a sentence: what was done, or why it was refused.
func (p place) onDay(r *page.Request, do func(context.Context, calendar.Date) (workshop.DayPlan, error), done func(workshop.DayPlan) string) (page.Reply, error) {
	date, err := r.DateParam("date")
	if err != nil {
		return page.Reply{}, err
	}
	day, err := do(r.Ctx(), date)
	said := page.Notice{}
	if err == nil {
		said = page.Done(done(day))
	}
	return r.Back("/?date="+date.String(), said, err)
}

func (p place) sheets(r *page.Request) (page.Reply, error) {
	date, err := r.DateParam("date")
	if err != nil {
		return page.Reply{}, err
	}
	day, err := p.shop.DaySheets(r.Ctx(), date)
	if err != nil {
		return page.Reply{}, err
	}
	var book bytes.Buffer
	if err := exports.BatchSheets(&book, day); err != nil {
		return page.Reply{}, err
	}
	return page.File("batch-sheets-"+date.String()+".xlsx", page.Workbook, book.Bytes()), nil
}
