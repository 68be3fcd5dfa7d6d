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
	var back []string
	return p.onDay(r, func(ctx context.Context, date calendar.Date) (workshop.DayPlan, error) {
		asked, err := decodeChanges(r.Request.PostForm)
		if err != nil {
			return workshop.DayPlan{}, err
		}
		before, err := p.shop.Day(ctx, date)
		if err != nil {
			return workshop.DayPlan{}, err
		}
		back = wayBack(asked, before)
		return p.shop.ReplanDay(ctx, date, asked)
	}, func(day workshop.DayPlan) page.Notice {
		said := page.Done("Planned again: the batches are as they were.")
		if n := len(day.Differences); n > 0 {
			said = page.Done(fmt.Sprintf("Planned again: %s, %s to the plan before.", countOf(day), page.Plural(n, "difference", "differences")))
		}
		if back != nil {
			said = said.Undoing("/days/"+day.Date.String()+"/changes", back...)
		}
		return said
	})
}

// wayBack gives the form that takes one change back, as name, value; nil where none does.
func wayBack(c workshop.DayChanges, before workshop.DayPlan) []string {
	found := func(code batch.Code) (batch.Batch, bool) {
		for _, m := range before.Machines {
			for _, b := range m.Batches {
				if strings.EqualFold(string(b.Code), string(code)) {
					return b, true
				}
			}
		}
		return batch.Batch{}, false
	}
	switch {
	case len(c.Pin) > 0:
		return []string{"unpin", string(c.Pin[0])}
	case len(c.Unpin) > 0:
		return []string{"pin", string(c.Unpin[0])}
	case len(c.Down) > 0:
		return []string{"up", string(c.Down[0])}
	case len(c.Up) > 0:
		return []string{"down", string(c.Up[0])}
	case len(c.Hold) > 0:
		if b, ok := found(c.Hold[0]); ok {
			return []string{"resume", heldValue(planning.Held{Recipe: b.Recipe, Scale: b.Scale})}
		}
	case len(c.Move) > 0:
		if b, ok := found(c.Move[0].Batch); ok {
			return []string{"move", string(b.Code), "machine", string(b.Machine), "place", strconv.Itoa(b.Sequence)}
		}
	case c.Overtime != nil:
		return []string{"overtime", strconv.Itoa(int(before.Allowed / time.Minute))}
	}
	return nil
}

// takeBack takes a batch back and shows its day.
func (p place) takeBack(r *page.Request) (page.Reply, error) {
	return p.onDay(r, func(ctx context.Context, _ calendar.Date) (workshop.DayPlan, error) {
		return p.shop.TakeBack(ctx, batch.Code(r.Param("batch")), r.PostForm("reason"))
	}, func(workshop.DayPlan) page.Notice {
		return page.Done(fmt.Sprintf("Batch %s is taken back: its wire is free, and it is proposed again.", r.Param("batch")))
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
		c.Split = []planning.Split{{Batch: batch.Code(code), Strings: n, Machine: catalog.MachineCode(form.Get("machine"))}}
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
	n, err := whole(form.Get(field), what)
	if err != nil {
		return 0, problem.At(field, err)
	}
	return n, nil
}

func whole(text, what string) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil || n < 0 || n > 1_000_000 {
		return 0, fmt.Errorf("%q is not %s", text, what)
	}
	return n, nil
}
