package workshop

import (
	"context"
	"errors"
	"fmt"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/money"
	"windingroom/internal/replenishment"
)

// NightReport is a nightly check as it is read.
type NightReport struct {
	Night
	Currency money.Currency
	Answers  map[material.WireCode]AlertAnswer // that cover the wire's alert today
}

// RunNight does the nightly check for a day, now, and keeps it in the place of an earlier one of that day. Stock and orders are those of
// this moment. Only a lead, a bookkeeper or an owner may.
func (s *Shop) RunNight(ctx context.Context, date calendar.Date) (NightReport, error) {
	p, err := allow(ctx, "running the nightly check", Lead, Bookkeeper)
	if err != nil {
		return NightReport{}, err
	}
	var report NightReport
	var input replenishment.Input
	err = s.Store.Read(ctx, func(r Reader) error {
		input, err = nightInput(r, date)
		report.Currency = input.Currency
		return err
	})
	if err != nil {
		return NightReport{}, err
	}
	slips, err := s.Slips(ctx)
	if err != nil {
		return NightReport{}, err
	}
	report.Night = Night{Date: date, RanAt: s.Now().UTC(), RanBy: p.Name, Result: replenishment.Night(input), Slips: slips}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		answers, err := tx.AlertAnswers()
		if err != nil {
			return err
		}
		var lapsed []material.WireCode
		report.Answers, lapsed = sortAnswers(answers, report.Night, date)
		if err := tx.LapseAlertAnswers(lapsed, date); err != nil {
			return err
		}
		if err := tx.SaveNight(report.Night); err != nil {
			return err
		}
		return tx.Record(s.audit(p, "nightly check", date.String(), nightDetail(report.Night)))
	})
	return report, err
}

// Reorder gives the last night's check with the answers that people gave to its alerts; ErrNotFound before the first night. It
// names prices: only a lead, a bookkeeper or an owner may see it.
func (s *Shop) Reorder(ctx context.Context) (NightReport, error) {
	if _, err := allow(ctx, "seeing what to order and its prices", Lead, Bookkeeper); err != nil {
		return NightReport{}, err
	}
	return s.report(ctx, func(r Reader) (Night, error) { return lastNight(r, s.Today()) })
}

// NightOf gives the check of a day; ErrNotFound where none was run. Only a lead, a bookkeeper or an owner may see it.
func (s *Shop) NightOf(ctx context.Context, date calendar.Date) (NightReport, error) {
	if _, err := allow(ctx, "seeing what to order and its prices", Lead, Bookkeeper); err != nil {
		return NightReport{}, err
	}
	return s.report(ctx, func(r Reader) (Night, error) { return nightOf(r, date, s.Today()) })
}

// report reads a night with the answers that cover its alerts today.
func (s *Shop) report(ctx context.Context, find func(Reader) (Night, error)) (report NightReport, err error) {
	err = s.Store.Read(ctx, func(r Reader) error {
		practice, err := r.Practice()
		if err != nil {
			return err
		}
		report.Currency = practice.Currency
		if report.Night, err = find(r); err != nil {
			return err
		}
		answers, err := r.AlertAnswers()
		report.Answers, _ = sortAnswers(answers, report.Night, s.Today())
		return err
	})
	return report, err
}

// farthest is 31 December 2199, the last day that calendar reads.
const farthest calendar.Date = 803_168

// lastNight gives the last night up to today; where every night looked further ahead, the last of those.
func lastNight(r Reader, today calendar.Date) (Night, error) {
	n, err := r.LastNight(today)
	if errors.Is(err, ErrNotFound) {
		n, err = r.LastNight(farthest)
	}
	if errors.Is(err, ErrNotFound) {
		return n, fmt.Errorf("no nightly check has run yet: %w", ErrNotFound)
	}
	return n, err
}

// sortAnswers tells the answers that still cover their alerts from those that no longer do.
func sortAnswers(answers map[material.WireCode]AlertAnswer, n Night, today calendar.Date) (hold map[material.WireCode]AlertAnswer, lapsed []material.WireCode) {
	hold = map[material.WireCode]AlertAnswer{}
	for _, wire := range sortedKeys(answers) {
		if w := n.Wire(wire); w != nil && answers[wire].Holds(w.Alert, today) {
			hold[wire] = answers[wire]
		} else {
			lapsed = append(lapsed, wire)
		}
	}
	return hold, lapsed
}

func nightDetail(n Night) string {
	counts := map[replenishment.Level]int{}
	for _, w := range n.Wires {
		counts[w.Alert]++
	}
	return fmt.Sprintf("%s: %d late, %d to order, %d to watch; %s to make", Count(len(n.Wires), "wire", "wires"), counts[replenishment.Late],
		counts[replenishment.Order], counts[replenishment.Watch], Count(len(n.Purchases), "purchase", "purchases"))
}

// AnswerAlert notes that a person has seen a wire's alert, or lets it rest until a day. It holds until the alert rises or ends. Only a lead or
// an owner may.
func (s *Shop) AnswerAlert(ctx context.Context, wire material.WireCode, reason string, until calendar.Date) (NightReport, error) {
	p, err := allow(ctx, "answering an alert", Lead)
	if err != nil {
		return NightReport{}, err
	}
	if reason, err = because(reason); err != nil {
		return NightReport{}, err
	}
	if !until.IsZero() && until <= s.Today() {
		return NightReport{}, wrong("until", "%s is not after today, %s", until, s.Today())
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		n, err := lastNight(tx, s.Today())
		if err != nil {
			return err
		}
		code, err := wireNamed(tx, wire)
		if err != nil {
			return err
		}
		w := n.Wire(code)
		if w == nil || w.Alert == replenishment.None {
			return fmt.Errorf("wire %s has no alert: %w", code, ErrNotFound)
		}
		answer := AlertAnswer{Wire: code, Level: w.Alert, Person: p.Name, At: s.Now().UTC(), Reason: reason, Until: until}
		if err := tx.LapseAlertAnswers([]material.WireCode{code}, s.Today()); err != nil {
			return err
		}
		if err := tx.AddAlertAnswer(answer); err != nil {
			return err
		}
		act := "see alert"
		if !until.IsZero() {
			act = "snooze alert until " + until.String()
		}
		return tx.Record(s.audit(p, act, string(code), string(w.Alert)+": "+reason))
	})
	if err != nil {
		return NightReport{}, err
	}
	return s.Reorder(ctx)
}
