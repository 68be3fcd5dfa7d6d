package store_test

import (
	"errors"
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/catalog"
	"windingroom/internal/order"
	"windingroom/internal/planning"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

// wished is the proposal with everything that a lead may ask and a planner may prove.
func wished() workshop.DayPlan {
	p := proposal()
	p.Lateness, p.LateBound, p.Optimal, p.Proof, p.Overtime = 77, 70, true, "nothing in the day is late", 12*time.Minute
	p.Pinned = []batch.Code{"B2", "B1"}
	p.Held = []planning.Held{{Recipe: "W-40", Scale: 660400000}}
	p.Delayed = []planning.Delayed{{Recipe: "W-40", Scale: 660400000, By: 40 * time.Minute}}
	p.Machines[0].Batches[0].Delay = 3 * time.Minute
	p.Allowed, p.Down = 30*time.Minute, []catalog.MachineCode{"bench-2"}
	p.Differences = []planning.Difference{
		{What: planning.Moved, Batch: "B2", Recipe: "W-40", Scale: 647700000, From: planning.Spot{Machine: "bench-2", Place: 1}, To: planning.Spot{Machine: "bench-1", Place: 2}, Was: 4, Is: 5, OtherDraws: true},
		{What: planning.WentOut, Batch: "B9", Recipe: "P-16", Scale: 647700000, From: planning.Spot{Machine: "bench-1", Place: 3}, Was: 2},
	}
	return p
}

func TestAPlanKeepsWhatWasAskedOfIt(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		plan := func(r workshop.Reader) (workshop.DayPlan, error) { return r.Plan(monday) }
		write(t, db, func(tx workshop.Tx) error { return tx.SavePlan(wished()) })
		same(t, "as it was saved", wished())(answered(t, db, plan), nil)
		write(t, db, func(tx workshop.Tx) error { return tx.SavePlan(proposal()) })
		same(t, "nothing of it stays with the next plan", proposal())(answered(t, db, plan), nil)
	})
}

// A number that a batch of a day had is remembered when its plan is replaced, and when an order's change drops the plan.
func TestTheHighestNumberOfADayStays(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		last := func(r workshop.Reader) (int, error) { return r.LastBatchNumber(monday) }
		same(t, "before any plan", 0)(answered(t, db, last), nil)
		save := func(number int) {
			p := proposal()
			p.Machines[0].Batches[0].Code = batch.CodeOf(monday, number, 2)
			write(t, db, func(tx workshop.Tx) error { return tx.SavePlan(p) })
		}
		save(41)
		save(7)
		same(t, "the next plan has lower ones", 41)(answered(t, db, last), nil)
		write(t, db, func(tx workshop.Tx) error {
			o, err := tx.Order("O-1")
			if err != nil {
				return err
			}
			o.Lines[0].Strings[0].Scale++
			return tx.SaveOrder(o)
		})
		err := db.Read(t.Context(), func(r workshop.Reader) error { _, err := r.Plan(monday); return err })
		if !errors.Is(err, workshop.ErrNotFound) {
			t.Errorf("the plan is still there: %v", err)
		}
		same(t, "the plan is gone", 41)(answered(t, db, last), nil)
		same(t, "another day", 0)(answered(t, db, func(r workshop.Reader) (int, error) { return r.LastBatchNumber(monday + 1) }), nil)
	})
}

func TestProposalsBesideWhatStands(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		release(t, db)
		plan := func(r workshop.Reader) (workshop.DayPlan, error) { return r.Plan(monday) }
		day := answered(t, db, plan)
		bench := &day.Machines[0]
		bench.Batches[0], bench.Batches[1] = bench.Batches[1], bench.Batches[0] // the lead let them change places
		for i := range bench.Batches {
			bench.Batches[i].Sequence, bench.Batches[i].Starts, bench.Batches[i].Run = i+1, time.Duration(i)*time.Hour, time.Hour
		}
		fresh := batch.Batch{Code: "B3", Date: monday, Machine: "bench-2", Sequence: 1, Status: batch.Proposed, Recipe: "W-40", Scale: 660400000,
			Ordered: 1, ToWind: 1, Draws: []batch.Draw{{Spool: "S-1", Wire: "C-H-16", Strings: 1, Mass: 1000}, {Spool: "S-2", Wire: "W-R-12", Strings: 1, Mass: 3000},
				{Spool: "S-3", Wire: "W-X-40", Strings: 1, Mass: 4000}}, Serves: []batch.Serve{{Order: "O-1", Line: 2, Position: 1, Strings: 1}}}
		day.Machines[1].Batches = []batch.Batch{fresh}
		day.NotPlanned = nil
		write(t, db, func(tx workshop.Tx) error { return tx.SavePlan(day) })
		want := day
		want.Released = false
		same(t, "beside what stands", want)(answered(t, db, plan), nil)
		same(t, "sound", []workshop.Discrepancy(nil))(answered(t, db, workshop.Reader.Discrepancies), nil)

		for name, spoil := range map[string]func(*workshop.DayPlan){
			"one left out":       func(p *workshop.DayPlan) { p.Machines[0].Batches = p.Machines[0].Batches[:1] },
			"one of another day": func(p *workshop.DayPlan) { p.Machines[0].Batches[0].Code = "B7" },
			"one in other state": func(p *workshop.DayPlan) { p.Machines[0].Batches[0].Status = batch.Finished },
		} {
			bad := answered(t, db, plan)
			spoil(&bad)
			err := db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.SavePlan(bad) })
			if !errors.Is(err, workshop.ErrReleased) {
				t.Errorf("%s: %v", name, err)
			}
		}
		same(t, "refused plans leave nothing", want)(answered(t, db, plan), nil)

		write(t, db, func(tx workshop.Tx) error {
			for _, d := range fresh.Draws {
				if err := tx.Allocate(d.Spool, d.Mass); err != nil {
					return err
				}
			}
			return tx.Release(monday, "bo", noon)
		})
		if got := answered(t, db, plan); !got.Released || got.ReleasedBy != "bo" || len(got.Standing()) != 3 || got.Machines[1].Batches[0].Draws[0].Allocated != 1000 {
			t.Errorf("released: %+v", got)
		}
		same(t, "sound", []workshop.Discrepancy(nil))(answered(t, db, workshop.Reader.Discrepancies), nil)
	})
}

func TestTakeBackOfTheLastBatchReopensTheDay(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		release(t, db)
		plan := func(r workshop.Reader) (workshop.DayPlan, error) { return r.Plan(monday) }
		for i, code := range []batch.Code{"B1", "B2"} {
			write(t, db, func(tx workshop.Tx) error {
				b, err := tx.Batch(code)
				if err != nil {
					return err
				}
				for n, d := range b.Draws {
					if err := tx.Allocate(d.Spool, -d.Allocated); err != nil {
						return err
					}
					if err := tx.SetDrawAllocated(code, n+1, 0); err != nil {
						return err
					}
				}
				return tx.TakeBack(code)
			})
			if got := answered(t, db, plan); got.Released || (got.ReleasedBy != "") != (i == 0) {
				t.Errorf("after %s: released %v by %q", code, got.Released, got.ReleasedBy)
			}
			same(t, "sound", []workshop.Discrepancy(nil))(answered(t, db, workshop.Reader.Discrepancies), nil)
		}
		if err := db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.TakeBack("B1") }); !errors.Is(err, workshop.ErrChanged) {
			t.Errorf("taken back twice: %v", err)
		}
		same(t, "a proposal again", proposal())(answered(t, db, plan), nil)
	})
}

// An order that changes drops what is proposed for it, and never what is released.
func TestAChangedOrderDropsOnlyWhatIsProposed(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		release(t, db)
		plan := func(r workshop.Reader) (workshop.DayPlan, error) { return r.Plan(monday) }
		day := answered(t, db, plan)
		day.Machines[1].Batches = []batch.Batch{{Code: "B3", Sequence: 1, Recipe: "W-40", Scale: 660400000, Ordered: 1, ToWind: 1,
			Serves: []batch.Serve{{Order: "O-1", Line: 2, Position: 1, Strings: 1}}}}
		day.NotPlanned = nil
		write(t, db, func(tx workshop.Tx) error { return tx.SavePlan(day) })
		write(t, db, func(tx workshop.Tx) error {
			o, err := tx.Order("O-1")
			if err != nil {
				return err
			}
			o.Lines = []order.Line{o.Lines[0]}
			return tx.SaveOrder(o)
		})
		if got := answered(t, db, plan); len(got.Standing()) != 2 || len(got.Machines[1].Batches) != 0 || !got.Released {
			t.Errorf("after the change: %+v", got)
		}
	})
}

func TestSheetIssues(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		first := workshop.SheetIssue{Batch: "B1", Version: 1, Hash: []byte{1, 2}, At: noon, By: "ines"}
		second := workshop.SheetIssue{Batch: "B1", Version: 2, Hash: []byte{3}, At: noon.Add(time.Hour), By: "bo"}
		other := workshop.SheetIssue{Batch: "B2", Version: 1, Hash: []byte{4}, At: noon, By: "ines"}
		write(t, db, func(tx workshop.Tx) error { return tx.IssueSheets([]workshop.SheetIssue{first, second, other}) })
		read(t, db, func(r workshop.Reader) error {
			same(t, "last", map[batch.Code]workshop.SheetIssue{"B1": second, "B2": other})(r.LastIssues([]batch.Code{"B1", "B2", "B3"}))
			same(t, "none", map[batch.Code]workshop.SheetIssue{})(r.LastIssues(nil))
			return nil
		})
		for _, statement := range []string{"UPDATE sheet_issues SET version = 3", "DELETE FROM sheet_issues"} {
			if err := db.Raw().Exec(statement).Error; err == nil {
				t.Errorf("%s was not refused", statement)
			}
		}
	})
}
