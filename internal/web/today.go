package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"

	"github.com/gin-gonic/gin"

	"windingroom/exports"
	"windingroom/internal/calendar"
	"windingroom/internal/problem"
	"windingroom/internal/workshop"
)

// today shows the plan of the shop's day, or of the one that is asked for.
func (s *server) today(c *gin.Context) (reply, error) {
	date := s.shop.Today()
	if text := c.Query("date"); text != "" {
		var err error
		if date, err = calendar.ParseDate(text); err != nil {
			return reply{}, problem.At("date", err)
		}
	}
	ctx := c.Request.Context()
	day, err := s.shop.Day(ctx, date)
	planned := err == nil
	if err != nil && !errors.Is(err, workshop.ErrNotFound) {
		return reply{}, err
	}
	short, err := s.shop.Shortages(ctx)
	if err != nil {
		return reply{}, err
	}
	f := s.frame(c, longDate(date))
	f.Flash = s.said(c)
	page := newToday(f, date, s.shop.Today(), shortagesView(short))
	if planned {
		page.Plan = newPlan(day, s.shop.Zone, page.CanPlan)
	}
	return show(todayTemplate, page), nil
}

func (s *server) propose(c *gin.Context) (reply, error) {
	return s.onDay(c, s.shop.ProposeDay, func(day workshop.DayPlan) string {
		if day.Released {
			return "The day is already released, and there is nothing new to wind: it stands as it is."
		}
		if n := len(day.Standing()); n > 0 {
			return fmt.Sprintf("Proposed beside %s: %s in all. Look over what is new, then release it.", plural(n, "batch that stands", "batches that stand"), countOf(day))
		}
		return fmt.Sprintf("Proposed: %s. Look it over, then release it.", countOf(day))
	})
}

func (s *server) release(c *gin.Context) (reply, error) {
	return s.onDay(c, s.shop.ReleaseDay, func(day workshop.DayPlan) string {
		return fmt.Sprintf("Released: %s. The batch sheets are ready.", countOf(day))
	})
}

// onDay runs a use case on the day of the address and goes back to Today with a sentence: what was done, or why it was refused.
func (s *server) onDay(c *gin.Context, do func(context.Context, calendar.Date) (workshop.DayPlan, error), done func(workshop.DayPlan) string) (reply, error) {
	date, err := calendar.ParseDate(c.Param("date"))
	if err != nil {
		return reply{}, problem.At("date", err)
	}
	day, err := do(c.Request.Context(), date)
	switch p := problem.From(err); {
	case err == nil:
		s.say(c, flash{Text: done(day)})
	case p.Status < http.StatusInternalServerError:
		s.say(c, flash{Text: p.Sentence(), Refused: true})
	default:
		return reply{}, err
	}
	return redirect("/?date=" + date.String()), nil
}

// workbookType is the media type of an .xlsx file.
const workbookType = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

func (s *server) sheets(c *gin.Context) (reply, error) {
	date, err := calendar.ParseDate(c.Param("date"))
	if err != nil {
		return reply{}, problem.At("date", err)
	}
	day, err := s.shop.DaySheets(c.Request.Context(), date)
	if err != nil {
		return reply{}, err
	}
	var book bytes.Buffer
	if err := exports.BatchSheets(&book, day); err != nil {
		return reply{}, err
	}
	return reply{status: http.StatusOK, file: book.Bytes(), media: workbookType, name: "batch-sheets-" + date.String() + ".xlsx"}, nil
}
