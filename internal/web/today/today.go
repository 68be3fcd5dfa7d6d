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
	d := day{date: date, present: date == r.Site.Today(), units: r.Units()}
	d.plan, err = p.shop.Day(ctx, date)
	d.planned = err == nil
	if err != nil && !errors.Is(err, workshop.ErrNotFound) {
		return page.Reply{}, err
	}
	if d.progress, err = p.shop.Progress(ctx, date); err != nil {
		return page.Reply{}, err
	}
	short, err := p.shop.Shortages(ctx)
	if err != nil {
		return page.Reply{}, err
	}
	return page.Show(todayTemplate, newToday(r, d, short)), nil
}

func (p place) propose(r *page.Request) (page.Reply, error) {
	return p.onDay(r, p.shop.ProposeDay, func(day workshop.DayPlan) page.Notice {
		if day.Released {
			return page.Done("The day is already released, and there is nothing new to wind: it stands as it is.")
		}
		if n := len(day.Standing()); n > 0 {
			return page.Done(fmt.Sprintf("Proposed beside %s: %s in all. Look over what is new, then release it.", page.Plural(n, "batch that stands", "batches that stand"), countOf(day)))
		}
		return page.Done(fmt.Sprintf("Proposed: %s. Look it over, then release it.", countOf(day)))
	})
}

func (p place) release(r *page.Request) (page.Reply, error) {
	return p.onDay(r, p.shop.ReleaseDay, func(day workshop.DayPlan) page.Notice {
		return page.Done(fmt.Sprintf("Released: %s. The batch sheets are ready.", countOf(day)))
	})
}

// onDay runs a use case on the day of the address and goes back to Today with a sentence: what was done, or why it was refused.
func (p place) onDay(r *page.Request, do func(context.Context, calendar.Date) (workshop.DayPlan, error), done func(workshop.DayPlan) page.Notice) (page.Reply, error) {
	date, err := r.DateParam("date")
	if err != nil {
		return page.Reply{}, err
	}
	day, err := do(r.Ctx(), date)
	said := page.Notice{}
	if err == nil {
		said = done(day)
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
