package workshop

import (
	"context"
	"errors"
	"strings"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/replenishment"
)

// WireBuying is everything that the buying of one wire rests on. What the night found is of its day; what comes, what is needed and
// what was used are of now.
type WireBuying struct {
	Wire   material.Wire
	Terms  Terms
	Checks calendar.Date // day of the night; zero before the first
	Night  *replenishment.WireNight
	Answer *AlertAnswer // that covers its alert; nil without
	From   *SupplierStory
	Coming []replenishment.Receipt // of purchases that were sent, by day
	Needs  []replenishment.Need    // of open orders beyond what is allocated, by day
	Used   []WeekUse               // the last quarter, oldest first
}

// WeekUse is what was used of a wire in the seven days from a day on.
type WeekUse struct {
	From calendar.Date
	Mass measure.Mass
}

// weeksUsed is how many weeks of use are told: as many as the projected balance looks ahead.
const weeksUsed = 13

// WireBuying gives one wire's buying; ErrNotFound when the shop has no such wire. It names prices: only a lead, a bookkeeper or an owner
// may see it.
func (s *Shop) WireBuying(ctx context.Context, code material.WireCode) (out WireBuying, err error) {
	if _, err := allow(ctx, "seeing what to order and its prices", Lead, Bookkeeper); err != nil {
		return out, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		out = WireBuying{}
		if out.Wire, err = wireOf(r, code); err != nil {
			return err
		}
		if out.Terms, err = termsOf(r, out.Wire.Code); err != nil {
			return err
		}
		if err := s.nightOn(r, &out); err != nil {
			return err
		}
		if out.From, err = supplierOn(r, out.Wire.Supplier); err != nil {
			return err
		}
		if err := expected(r, s.Today(), &out); err != nil {
			return err
		}
		out.Used, err = weeksOf(r, out.Wire.Code, s.Today())
		return err
	})
	return out, err
}

// nightOn adds what the last night found of the wire, if there was one.
func (s *Shop) nightOn(r Reader, out *WireBuying) error {
	n, err := lastNight(r, s.Today())
	if errors.Is(err, ErrNotFound) {
		return nil
	}
	if err != nil {
		return err
	}
	out.Checks, out.Night = n.Date, n.Wire(out.Wire.Code)
	if out.Night == nil {
		return nil
	}
	answers, err := r.AlertAnswers()
	if a := answers[out.Wire.Code]; a.Holds(out.Night.Alert, s.Today()) {
		out.Answer = &a
	}
	return err
}

// expected adds what comes of the wire and what open orders need of it.
func expected(r Reader, today calendar.Date, out *WireBuying) error {
	receipts, err := coming(r)
	if err != nil {
		return err
	}
	for _, c := range receipts {
		if c.Wire == out.Wire.Code {
			out.Coming = append(out.Coming, c)
		}
	}
	bench, demands, err := openDemand(r)
	if err != nil {
		return err
	}
	proposed, err := r.Batches(BatchFilter{Status: batch.Proposed})
	if err != nil {
		return err
	}
	needs, err := bookedNeeds(bench, onPlannedDays(demands, proposed, today))
	for _, n := range needs {
		if n.Wire == out.Wire.Code {
			out.Needs = append(out.Needs, n)
		}
	}
	return err
}

// weeksOf sums a wire's use of the last quarter by weeks that end yesterday.
func weeksOf(r Reader, wire material.WireCode, today calendar.Date) ([]WeekUse, error) {
	first := today - 7*weeksUsed
	used, err := r.Used(first, today-1)
	weeks := make([]WeekUse, weeksUsed)
	for i := range weeks {
		weeks[i].From = first + calendar.Date(7*i)
	}
	for _, u := range used {
		if strings.EqualFold(string(u.Wire), string(wire)) {
			weeks[int(u.On-first)/7].Mass += u.Mass
		}
	}
	return weeks, err
}
