package store_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"windingroom/internal/calendar"
	"windingroom/internal/costing"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

func period(t testing.TB, text string) costing.Period {
	t.Helper()
	p, err := costing.ParsePeriod(text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// closeMonths closes months as of an instant.
func closeMonths(t testing.TB, db *store.DB, at time.Time, months ...string) {
	t.Helper()
	write(t, db, func(tx workshop.Tx) error {
		for _, m := range months {
			frozen, err := workshop.Freeze(tx, period(t, m))
			if err != nil {
				return err
			}
			if err := tx.ClosePeriod(workshop.Period{Month: frozen.Month, ClosedAt: at, ClosedBy: "bo", Hash: frozen.Hash, Figures: frozen.Figures}); err != nil {
				return err
			}
		}
		return nil
	})
}

func TestMonthsCloseAndReopen(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db) // spools of 31 January and 1 February
		release(t, db)
		now := noon
		shop := &workshop.Shop{Store: db, Now: func() time.Time { return now }, Zone: time.UTC}
		as := func(r workshop.Role) func(month string) error {
			return func(month string) error {
				_, err := shop.CloseMonth(testkit.As(t.Context(), r), period(t, month))
				return err
			}
		}
		refused := func(err error, want error, says string) {
			t.Helper()
			if !errors.Is(err, want) || !strings.Contains(err.Error(), says) {
				t.Errorf("got %v, want %v saying %q", err, want, says)
			}
		}
		refused(as(workshop.Lead)("2026-01"), workshop.ErrForbidden, "bookkeeper or owner")
		refused(as(workshop.Bookkeeper)("2026-02"), workshop.ErrNotClosable, "2026-01 has movements and is open")
		refused(as(workshop.Bookkeeper)("2026-03"), workshop.ErrNotClosable, "not over before 2026-04-01")
		if err := as(workshop.Bookkeeper)("2026-01"); err != nil {
			t.Fatal(err)
		}
		refused(as(workshop.Owner)("2026-01"), workshop.ErrExists, "closed by")
		refused(as(workshop.Owner)("2025-12"), workshop.ErrExists, "closed with 2026-01")
		if err := as(workshop.Owner)("2026-02"); err != nil {
			t.Fatal(err)
		}
		now = noon.AddDate(0, 1, 0)
		refused(as(workshop.Owner)("2026-03"), workshop.ErrNotClosable, "B1, B2")
		now = noon

		// Nothing posts into a closed month, nor before it, by use case or past it.
		late := drawn(-1000, -6)
		late.Kind = stock.WriteOff // a draw without a result would not tie out
		late.EffectiveOn, late.EffectiveAt = monday-2, noon.AddDate(0, 0, -2)
		earlier := late
		earlier.EffectiveOn = calendar.NewDate(2025, time.June, 1)
		for _, m := range []stock.Movement{late, earlier} {
			err := db.InTx(t.Context(), func(tx workshop.Tx) error { _, err := tx.Post([]stock.Movement{m}); return err })
			refused(err, workshop.ErrClosed, "the books are closed up to 2026-02")
			statement := strings.ReplaceAll(move(77, "S-2", "draw", -1000, -6), "2026-03-02'", m.EffectiveOn.String()+"'")
			if err := db.Raw().Exec(statement).Error; err == nil || !strings.Contains(err.Error(), "closed month: ") {
				t.Errorf("past the use case on %s: %v", m.EffectiveOn, err)
			}
		}
		if got := invariants(t, db); len(got) > 0 {
			t.Errorf("broken: %q", got)
		}

		// Reopening: the last one, by the owner, with a reason, kept for ever.
		owner, bookkeeper := testkit.As(t.Context(), workshop.Owner), testkit.As(t.Context(), workshop.Bookkeeper)
		refused(shop.ReopenMonth(bookkeeper, period(t, "2026-02"), "x"), workshop.ErrForbidden, "owner")
		refused(shop.ReopenMonth(owner, period(t, "2026-01"), "x"), workshop.ErrStage, "2026-02 is closed after 2026-01")
		refused(shop.ReopenMonth(owner, period(t, "2026-03"), "x"), workshop.ErrNotFound, "2026-03")
		if err := shop.ReopenMonth(owner, period(t, "2026-02"), " "); err == nil || !strings.Contains(err.Error(), "reason") {
			t.Errorf("without a reason: %v", err)
		}
		if err := shop.ReopenMonth(owner, period(t, "2026-02"), "invoice of February came late"); err != nil {
			t.Fatal(err)
		}
		write(t, db, func(tx workshop.Tx) error { _, err := tx.Post([]stock.Movement{late}); return err })
		if err := as(workshop.Owner)("2026-02"); err != nil {
			t.Fatal(err)
		}
		acts := answered(t, db, workshop.Reader.Closings)
		var told []string
		for _, c := range acts {
			told = append(told, fmt.Sprint(c.Month, " ", c.Act, " ", c.Reason))
		}
		if want := []string{"2026-01 closed ", "2026-02 closed ", "2026-02 reopened invoice of February came late", "2026-02 closed "}; !slices.Equal(told, want) {
			t.Errorf("history %q", told)
		}
		if acts[1].Hash == acts[3].Hash || acts[1].Hash != acts[2].Hash {
			t.Error("the hash does not follow the movements")
		}
		for _, statement := range []string{"UPDATE closings SET reason = 'y'", "DELETE FROM closings"} {
			if err := db.Raw().Exec(statement).Error; err == nil || !strings.Contains(err.Error(), "append only: ") {
				t.Errorf("%s: %v", statement, err)
			}
		}
		if got := invariants(t, db); len(got) > 0 {
			t.Errorf("broken: %q", got)
		}
	})
}

func TestAClosedMonthThatChangedIsFound(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		closeMonths(t, db, noon.Add(time.Second), "2026-01", "2026-02")
		disarm(t, db)
		for name, statement := range map[string]string{
			"another person":  "UPDATE movements SET person = 'x' WHERE spool = 'S-1'",
			"another figure":  "UPDATE periods SET figures = replace(figures, '1000000', '1000001')",
			"another hash":    "UPDATE periods SET figures_hash = 'x' WHERE month = '2026-01'",
			"a later receipt": "UPDATE movements SET effective_on = '2026-03-01' WHERE spool = 'S-3'",
		} {
			t.Run(name, func(t *testing.T) {
				tx := db.Raw().Begin()
				defer tx.Rollback()
				if err := tx.Exec(statement).Error; err != nil {
					t.Fatal(err)
				}
				found, err := db.ReaderIn(tx).Discrepancies()
				if err != nil || !slices.Contains(names(t, found), "a closed month is as it was closed") {
					t.Errorf("found %v, %v", found, err)
				}
			})
		}
	})
}

// A random ledger of several months rolls forward month by month in milligrams and minor units, its closings are what the spools hold, and a
// month that is closed replays to the same hash.
func TestMonthsRollForward(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		undo := errors.New("undo")
		first, last := period(t, "2026-01"), period(t, "2026-06")
		rapid.Check(t, func(r *rapid.T) {
			err := db.InTx(t.Context(), func(tx workshop.Tx) error {
				day := calendar.NewDate(2026, time.February, 1)
				var posted []stock.Movement
				for range rapid.IntRange(0, 25).Draw(r, "movements") {
					day += calendar.Date(rapid.IntRange(0, 12).Draw(r, "days"))
					day = min(day, last.Last())
					if m, ok := randomMove(r, tx, day, posted); ok {
						done, err := tx.Post([]stock.Movement{m})
						if err != nil {
							return err
						}
						posted = append(posted, done...)
					}
				}
				months, err := workshop.Replay(tx, first, last)
				if err != nil {
					return err
				}
				for _, m := range months {
					if err := tx.ClosePeriod(workshop.Period{Month: m.Month, ClosedAt: noon.AddDate(1, 0, 0), ClosedBy: "bo", Hash: m.Hash, Figures: m.Figures}); err != nil {
						return err
					}
					if alone, err := workshop.Freeze(tx, m.Month); err != nil || alone != m {
						r.Fatalf("%s replays to %v, %v, and was %v", m.Month, alone, err, m)
					}
				}
				found, err := tx.Discrepancies()
				if err != nil {
					return err
				}
				found = slices.DeleteFunc(found, func(d workshop.Discrepancy) bool { return strings.Contains(d.Invariant, "weighing") })
				if len(found) > 0 {
					r.Fatalf("broken: %v", found)
				}
				checkRolls(r, tx, months)
				return undo
			})
			if !errors.Is(err, undo) {
				r.Fatal(err)
			}
		})
	})
}

// randomMove makes a movement that its spool can bear.
func randomMove(r *rapid.T, tx workshop.Tx, on calendar.Date, posted []stock.Movement) (stock.Movement, bool) {
	b, err := tx.Spool(rapid.SampledFrom([]stock.SpoolCode{"S-1", "S-2", "S-3"}).Draw(r, "spool"))
	if err != nil {
		r.Fatal(err)
	}
	m := stock.Movement{Spool: b.Code, EffectiveOn: on, EffectiveAt: on.Time().Add(12 * time.Hour), PostedAt: noon.AddDate(0, 6, 0), Person: "bo", Reason: "=1+1"}
	m.Kind = rapid.SampledFrom([]stock.Kind{stock.Draw, stock.Draw, stock.Scrap, stock.WeighBack, stock.CountDifference, stock.ReturnToSupplier, stock.WriteOff,
		stock.Reversal}).Draw(r, "kind")
	switch m.Kind {
	case stock.Reversal:
		i := slices.IndexFunc(posted, func(p stock.Movement) bool {
			return p.Spool == b.Code && p.Kind != stock.Reversal && b.Check(-p.Mass) == nil &&
				!slices.ContainsFunc(posted, func(q stock.Movement) bool { return q.Reverses == p.ID })
		})
		if i < 0 {
			return m, false
		}
		m.Mass, m.Reverses = -posted[i].Mass, posted[i].ID
	case stock.WeighBack, stock.CountDifference:
		m.Mass = measure.Mass(rapid.Int64Range(-int64(b.Mass), int64(b.Net()-b.Mass)).Draw(r, "mass"))
	default:
		m.Mass = -measure.Mass(rapid.Int64Range(0, int64(b.Mass)).Draw(r, "mass"))
	}
	m.Cost = b.CostOf(m.Mass)
	return m, true
}

// checkRolls reads the figures as they were kept.
func checkRolls(r *rapid.T, tx workshop.Tx, months []workshop.Frozen) {
	type line struct {
		Wire string
		Mg   [6]int64 `json:"mg"`
		Cost [6]int64 `json:"cost_minor"`
	}
	closing := map[string][2]int64{}
	for _, m := range months {
		var kept struct{ Wires []line }
		if err := json.Unmarshal([]byte(m.Figures), &kept); err != nil {
			r.Fatal(err)
		}
		seen := map[string]bool{}
		for _, l := range kept.Wires {
			seen[l.Wire] = true
			for i, v := range [][6]int64{l.Mg, l.Cost} {
				if v[0] != closing[l.Wire][i] || v[0]+v[1]-v[2]-v[3]+v[4] != v[5] {
					r.Fatalf("%s %s: %v after a closing of %d", m.Month, l.Wire, v, closing[l.Wire][i])
				}
			}
			closing[l.Wire] = [2]int64{l.Mg[5], l.Cost[5]}
		}
		for wire, c := range closing {
			if !seen[wire] && c != [2]int64{} {
				r.Fatalf("%s: wire %s holds %v and is left out", m.Month, wire, c)
			}
		}
	}
	spools, err := tx.Spools()
	if err != nil {
		r.Fatal(err)
	}
	for _, b := range spools {
		c := closing[string(b.Wire)]
		closing[string(b.Wire)] = [2]int64{c[0] - int64(b.Mass), c[1] - int64(b.Value)}
	}
	for wire, off := range closing {
		if off != [2]int64{} {
			r.Fatalf("wire %s closes %v off what its spools hold", wire, off)
		}
	}
}
