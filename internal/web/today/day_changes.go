package today

import (
	"context"
	"fmt"
	"net/url"
	"strconv"
	"strings"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/planning"
	"windingroom/internal/problem"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// change plans the day again with what one form asks.
func (p place) change(r *page.Request) (page.Reply, error) {
	if err := r.Request.ParseForm(); err != nil {
		return page.Reply{}, problem.ErrMalformed
	}
	return p.onDay(r, func(ctx context.Context, date calendar.Date) (workshop.DayPlan, error) {
		asked, err := decodeChanges(r.Request.PostForm)
		if err != nil {
			return workshop.DayPlan{}, err
		}
		return p.shop.ReplanDay(ctx, date, asked)
	}, func(day workshop.DayPlan) string {
		if n := len(day.Differences); n > 0 {
			return fmt.Sprintf("Planned again: %s, %s to the plan before.", countOf(day), page.Plural(n, "difference", "differences"))
		}
		return "Planned again: the batches are as they were."
	})
}

// takeBack takes a batch back and shows its day.
func (p place) takeBack(r *page.Request) (page.Reply, error) {
	return p.onDay(r, func(ctx context.Context, _ calendar.Date) (workshop.DayPlan, error) {
		return p.shop.TakeBack(ctx, batch.Code(r.Param("batch")), r.PostForm("reason"))
	}, func(workshop.DayPlan) string {
		return fmt.Sprintf("Batch %s is taken back: its wire is free, and it is proposed again.", r.Param("batch"))
	})
}

// decodeChanges reads a form of the Today page.
func decodeChanges(form url.Values) (c workshop.DayChanges, err error) {
	if code := form.Get("pin"); code != "" {
		c.Pin = []batch.Code{batch.Code(code)}
	}
	if code := form.Get("unpin"); code != "" {
		c.Unpin = []batch.Code{batch.Code(code)}
	}
	if code := form.Get("hold"); code != "" {
		c.Hold = []batch.Code{batch.Code(code)}
	}
	if machine := form.Get("down"); machine != "" {
		c.Down = []catalog.MachineCode{catalog.MachineCode(machine)}
	}
	if machine := form.Get("up"); machine != "" {
		c.Up = []catalog.MachineCode{catalog.MachineCode(machine)}
	}
	c.Anew = form.Get("anew") != ""
	if text := form.Get("resume"); text != "" {
		recipe, inches, _ := strings.Cut(text, "@")
		scale, err := measure.ParseInches(inches)
		if err != nil {
			return c, problem.At("resume", err)
		}
		c.Resume = []planning.Held{{Recipe: catalog.RecipeCode(recipe), Scale: scale}}
	}
	if code := form.Get("move"); code != "" {
		place, err := wholeNumber(form, "place", "a place from 1")
		if err != nil {
			return c, err
		}
		c.Move = []planning.Move{{Batch: batch.Code(code), Machine: catalog.MachineCode(form.Get("machine")), Place: place}}
	}
	if code := form.Get("split"); code != "" {
		n, err := wholeNumber(form, "strings", "a number of strings")
		if err != nil {
			return c, err
		}
		c.Split = []planning.Split{{Batch: batch.Code(code), Strings: n}}
	}
	if code := form.Get("late"); code != "" {
		n, err := wholeNumber(form, "minutes", "a whole number of minutes")
		if err != nil {
			return c, err
		}
		c.Late = []planning.Delay{{Batch: batch.Code(code), By: time.Duration(n) * time.Minute}}
	}
	if form.Has("overtime") {
		n, err := wholeNumber(form, "overtime", "a whole number of minutes")
		if err != nil {
			return c, err
		}
		overtime := time.Duration(n) * time.Minute
		c.Overtime = &overtime
	}
	return c, nil
}

// wholeNumber reads a small number; what it stands for bounds it further.
func wholeNumber(form url.Values, field, what string) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(form.Get(field)))
	if err != nil || n < 0 || n > 1_000_000 {
		return 0, problem.At(field, fmt.Errorf("%q is not %s", form.Get(field), what))
	}
	return n, nil
}
