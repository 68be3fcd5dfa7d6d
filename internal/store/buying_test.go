package store_test

import (
	"errors"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/purchase"
	"windingroom/internal/replenishment"
	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

func bought() purchase.Purchase {
	return purchase.Purchase{Code: "P-1", Supplier: "Hollin", Status: purchase.Sent, Night: monday - 1, OrderedOn: monday, Freight: 990, Note: "by van", MadeAt: noon,
		MadeBy: "ines", Version: 1, Lines: []purchase.Line{{Wire: "W-R-12", Packs: 2, Mass: 1_000_000, PricePerKg: 5650}, {Wire: "W-X-40", Packs: 1, Mass: 500_000, PricePerKg: 7000}}}
}

func TestPurchasesAreKept(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		want := bought()
		write(t, db, func(tx workshop.Tx) error { return tx.AddPurchase(want) })
		read(t, db, func(r workshop.Reader) error {
			same(t, "by code", want)(r.Purchase("p-1"))
			same(t, "open", []purchase.Purchase{want})(r.Purchases(workshop.PurchaseFilter{OpenOnly: true}))
			same(t, "proposed", []purchase.Purchase(nil))(r.Purchases(workshop.PurchaseFilter{Status: purchase.Proposed}))
			same(t, "codes", []purchase.Code{"P-1"})(r.PurchaseCodes("p-"))
			// 21 days is what the supplier says.
			same(t, "coming", []workshop.ScheduledReceipt{{Purchase: "P-1", Wire: "W-R-12", On: monday + 21, Mass: 1_000_000},
				{Purchase: "P-1", Wire: "W-X-40", On: monday + 21, Mass: 500_000}})(r.ScheduledReceipts())
			return nil
		})
		if err := db.InTx(t.Context(), func(tx workshop.Tx) error { p := want; p.Code = "p-1"; return tx.AddPurchase(p) }); !errors.Is(err, workshop.ErrExists) {
			t.Errorf("the same code again: %v", err)
		}
		if err := db.InTx(t.Context(), func(tx workshop.Tx) error { p := want; p.Code, p.Supplier = "P-2", "nobody"; return tx.AddPurchase(p) }); !errors.Is(err, store.ErrRefers) {
			t.Errorf("from nobody: %v", err)
		}

		promised := want
		promised.PromisedOn = monday + 10
		write(t, db, func(tx workshop.Tx) error { return tx.ChangePurchase(promised) })
		if err := db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.ChangePurchase(promised) }); !errors.Is(err, workshop.ErrChanged) {
			t.Errorf("the version before: %v", err)
		}
		came := purchase.Receipt{Spool: "S-2", Wire: "W-R-12", ReceivedOn: monday, Mass: 500_000, Cost: 2900, Expected: 2825}
		write(t, db, func(tx workshop.Tx) error { return tx.AddPurchaseReceipts("P-1", []purchase.Receipt{came}) })
		if err := db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.AddPurchaseReceipts("P-1", []purchase.Receipt{came}) }); !errors.Is(err, workshop.ErrExists) {
			t.Errorf("the same spool again: %v", err)
		}
		stray := came
		stray.Spool, stray.Wire = "S-1", "C-H-16"
		if err := db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.AddPurchaseReceipts("P-1", []purchase.Receipt{stray}) }); !errors.Is(err, store.ErrRefers) {
			t.Errorf("a wire of no line: %v", err)
		}
		promised.Version, promised.Receipts, promised.Lines[0].Received = 2, []purchase.Receipt{came}, 500_000
		read(t, db, func(r workshop.Reader) error {
			same(t, "part received", promised)(r.Purchase("P-1"))
			same(t, "still coming", []workshop.ScheduledReceipt{{Purchase: "P-1", Wire: "W-R-12", On: monday + 10, Mass: 500_000},
				{Purchase: "P-1", Wire: "W-X-40", On: monday + 10, Mass: 500_000}})(r.ScheduledReceipts())
			same(t, "of spools", map[stock.SpoolCode]purchase.Code{"S-2": "P-1"})(r.PurchaseOf([]stock.SpoolCode{"S-1", "S-2", "S-3"}))
			return nil
		})
		// A receipt that is taken back is no receipt of the purchase either.
		write(t, db, func(tx workshop.Tx) error {
			moves, err := tx.Movements("S-2")
			if err != nil {
				return err
			}
			_, err = tx.Post([]stock.Movement{{Spool: "S-2", Kind: stock.Reversal, Mass: -moves[0].Mass, Cost: -moves[0].Cost, EffectiveOn: monday, EffectiveAt: noon, PostedAt: noon,
				Person: "ines", Reason: "another's", Reverses: moves[0].ID}})
			return err
		})
		promised.Receipts, promised.Lines[0].Received = nil, 0
		read(t, db, func(r workshop.Reader) error {
			same(t, "taken back", promised)(r.Purchase("P-1"))
			return nil
		})
	})
}

func TestLinesOfAProposalChange(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		p := bought()
		p.Status, p.OrderedOn = purchase.Proposed, 0
		write(t, db, func(tx workshop.Tx) error { return tx.AddPurchase(p) })
		p.Lines = []purchase.Line{{Wire: "C-H-16", Packs: 1, Mass: 250_000, PricePerKg: 1}}
		write(t, db, func(tx workshop.Tx) error { return tx.ChangePurchase(p) })
		p.Version = 2
		read(t, db, func(r workshop.Reader) error {
			same(t, "changed", p)(r.Purchase("P-1"))
			same(t, "coming", []workshop.ScheduledReceipt(nil))(r.ScheduledReceipts())
			return nil
		})
	})
}

func TestNightsAreKept(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		night := func(day calendar.Date) workshop.Night {
			return workshop.Night{Date: day, RanAt: noon, RanBy: "ines", Result: replenishment.Result{
				Wires: []replenishment.WireNight{{Wire: "W-R-12", OnHand: 5, Confidence: .9123, RunOut: day + 3, Alert: replenishment.Late, Why: "“5 g” left", AtRisk: nil,
					Pattern: replenishment.Pattern{Periods: 9, ADI: 4. / 3}, Balance: []replenishment.Point{{On: day, Expected: 5, Low: -1, High: 7}}},
					{Wire: "W-X-40", Alert: replenishment.None}},
				Purchases: []replenishment.Purchase{{Supplier: "Hollin", OrderBy: day, Total: 5650, Lines: []replenishment.Line{{Wire: "W-R-12", Packs: 2, Mass: 1_000_000, Cost: 5650, Why: replenishment.MustOrder}}}}}}
		}
		for day := monday; day < monday+4; day++ {
			write(t, db, func(tx workshop.Tx) error { return tx.SaveNight(night(day)) })
		}
		again := night(monday + 3)
		again.RanBy = "bo"
		write(t, db, func(tx workshop.Tx) error { return tx.SaveNight(again) })
		bare := night(monday)
		bare.Wires[0].Balance = nil
		read(t, db, func(r workshop.Reader) error {
			same(t, "last", again)(r.LastNight(monday + 99))
			same(t, "up to a day", night(monday+2))(r.LastNight(monday + 2))
			same(t, "long past, without its balances", bare)(r.LastNight(monday))
			if _, err := r.LastNight(monday - 1); !errors.Is(err, workshop.ErrNotFound) {
				t.Errorf("before the first: %v", err)
			}
			return nil
		})
	})
}

func TestFactsOfANight(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		release(t, db)
		wound(t, db)
		write(t, db, func(tx workshop.Tx) error {
			return tx.AddUsage([]stock.Usage{{On: monday - 9, Wire: "W-R-12", Mass: 7, Order: "O-0", Nth: 1}, {On: monday - 9, Wire: "W-R-12", Mass: 7, Order: "O-0", Nth: 2},
				{On: monday - 99, Wire: "W-R-12", Mass: 9, Nth: 1}})
		})
		read(t, db, func(r workshop.Reader) error {
			same(t, "used", []stock.Usage{{On: monday - 9, Wire: "W-R-12", Mass: 7, Order: "O-0"}, {On: monday - 9, Wire: "W-R-12", Mass: 7, Order: "O-0"},
				{On: monday, Wire: "C-H-16", Mass: 4000, Order: "batch B2"}, {On: monday, Wire: "W-R-12", Mass: 12000, Order: "batch B2"},
				{On: monday, Wire: "W-X-40", Mass: 16000, Order: "batch B2"}})(r.Used(monday-30, monday))
			same(t, "changes", []workshop.WireChange{{Wire: "C-H-16", On: monday - 30, Mass: 1_000_000}, {Wire: "C-H-16", On: monday, Mass: -4000},
				{Wire: "W-R-12", On: monday - 30, Mass: 500_000}, {Wire: "W-R-12", On: monday, Mass: -12000},
				{Wire: "W-X-40", On: monday - 29, Mass: 300_000}, {Wire: "W-X-40", On: monday, Mass: -16000}})(r.Changes())
			// Two of the three good strings went to O-1, which was booked twenty days before; each took 1 + 3 + 4 g.
			same(t, "bookings", []replenishment.Notice{{Days: 20, Mass: 16000}})(r.Bookings(monday))
			same(t, "bookings since", []replenishment.Notice{})(r.Bookings(monday + 1))
			same(t, "sets", map[catalog.SetCode]int{"Harbour-2": 5})(r.SetQuantities())
			return nil
		})
		// A draw that was taken back was not used.
		write(t, db, func(tx workshop.Tx) error {
			moves, err := tx.Movements("S-3")
			if err != nil {
				return err
			}
			last := moves[len(moves)-1]
			_, err = tx.Post([]stock.Movement{{Spool: "S-3", Kind: stock.Reversal, Mass: -last.Mass, Cost: -last.Cost, EffectiveOn: monday + 1, EffectiveAt: noon, PostedAt: noon,
				Person: "ines", Reason: "wrong", Source: "batch B2", Reverses: last.ID}})
			return err
		})
		read(t, db, func(r workshop.Reader) error {
			used, err := r.Used(monday-30, monday+1)
			if len(used) != 4 {
				t.Errorf("used %+v", used)
			}
			return err
		})
	})
}

func TestTermsOfWires(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		set := func(mass measure.Mass, breaks ...replenishment.Break) {
			write(t, db, func(tx workshop.Tx) error {
				return errors.Join(tx.SetMinimum("W-R-12", mass), tx.SetBreaks("W-R-12", breaks))
			})
		}
		set(5000, replenishment.Break{From: 2_000_000, PricePerKg: 5000}, replenishment.Break{From: 5_000_000, PricePerKg: 4500})
		set(7000, replenishment.Break{From: 5_000_000, PricePerKg: 4400})
		read(t, db, func(r workshop.Reader) error {
			same(t, "minimums", map[material.WireCode]measure.Mass{"W-R-12": 7000})(r.Minimums())
			same(t, "breaks", map[material.WireCode][]replenishment.Break{"W-R-12": {{From: 5_000_000, PricePerKg: 4400}}})(r.Breaks())
			return nil
		})
		set(0)
		read(t, db, func(r workshop.Reader) error {
			same(t, "no minimums", map[material.WireCode]measure.Mass{})(r.Minimums())
			same(t, "no breaks", map[material.WireCode][]replenishment.Break{})(r.Breaks())
			return nil
		})
	})
}

func TestAlertAnswersAreKept(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		first := workshop.AlertAnswer{Wire: "W-R-12", Level: replenishment.Watch, Person: "ines", At: noon, Reason: "seen", Until: monday + 3}
		second := first
		second.Level, second.Until = replenishment.Late, 0
		other := first
		other.Wire = "W-X-40"
		write(t, db, func(tx workshop.Tx) error {
			return errors.Join(tx.AddAlertAnswer(first), tx.AddAlertAnswer(second), tx.AddAlertAnswer(other))
		})
		read(t, db, func(r workshop.Reader) error {
			same(t, "the newest of each", map[material.WireCode]workshop.AlertAnswer{"W-R-12": second, "W-X-40": other})(r.AlertAnswers())
			return nil
		})
		write(t, db, func(tx workshop.Tx) error { return tx.LapseAlertAnswers([]material.WireCode{"W-R-12"}, monday) })
		read(t, db, func(r workshop.Reader) error {
			same(t, "those that hold", map[material.WireCode]workshop.AlertAnswer{"W-X-40": other})(r.AlertAnswers())
			return nil
		})
	})
}

func TestJobRunsAndNoticesAreKept(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		run := workshop.JobRun{Job: "backup", Day: monday, Attempt: 1, StartedAt: noon, Outcome: workshop.Running}
		done := run
		done.EndedAt, done.Outcome, done.Found = noon.Add(time.Minute), workshop.Done, "a.db"
		next, other := done, run
		next.Day, other.Job = monday+1, "tidy"
		write(t, db, func(tx workshop.Tx) error { return errors.Join(tx.SaveJobRun(run), tx.SaveJobRun(other)) })
		read(t, db, func(r workshop.Reader) error {
			same(t, "running", run)(r.JobRun("backup", monday))
			return nil
		})
		write(t, db, func(tx workshop.Tx) error { return errors.Join(tx.SaveJobRun(done), tx.SaveJobRun(next)) })
		read(t, db, func(r workshop.Reader) error {
			same(t, "done", done)(r.JobRun("backup", monday))
			same(t, "last of each", []workshop.JobRun{next, other})(r.JobRuns(1))
			same(t, "all", []workshop.JobRun{next, done, other})(r.JobRuns(9))
			if _, err := r.JobRun("none", monday); !errors.Is(err, workshop.ErrNotFound) {
				t.Errorf("no run: %v", err)
			}
			return nil
		})
		note := workshop.SentNotice{Night: monday, Channel: "mail", At: noon, Outcome: "sending"}
		sent := note
		sent.Outcome, sent.Detail = "sent", "taken"
		write(t, db, func(tx workshop.Tx) error { return errors.Join(tx.SaveNotice(note), tx.SaveNotice(sent)) })
		read(t, db, func(r workshop.Reader) error {
			same(t, "notices", []workshop.SentNotice{sent})(r.SentNotices(monday))
			return nil
		})
		write(t, db, func(tx workshop.Tx) error {
			if err := tx.KeepAnswer(workshop.KeptAnswer{Key: "k", RequestHash: []byte{1}, Status: 200, At: noon}); err != nil {
				return err
			}
			for _, step := range []struct {
				before time.Time
				want   int
			}{{noon, 0}, {noon.Add(time.Second), 1}} {
				if n, err := tx.DropAnswers(step.before); err != nil || n != step.want {
					t.Errorf("dropped %d before %s, %v", n, step.before, err)
				}
			}
			return nil
		})
	})
}

func TestVerifySeesWhatIsWrongWithPurchases(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		p := bought()
		write(t, db, func(tx workshop.Tx) error {
			if err := tx.AddPurchase(p); err != nil {
				return err
			}
			if err := tx.AddPurchaseReceipts("P-1", []purchase.Receipt{{Spool: "S-2", Wire: "W-R-12", ReceivedOn: monday, Mass: 500_000}}); err != nil {
				return err
			}
			p.Status = purchase.PartReceived
			return tx.ChangePurchase(p)
		})
		if got := invariants(t, db); len(got) > 0 {
			t.Fatalf("sound: %q", got)
		}
		raw(t, db, "UPDATE purchase_receipts SET mass = mass - 1", "UPDATE purchases SET status = 'cancelled'")
		want := []string{"a purchase that took wire in was sent", "what came for a purchase is what its spool weighed"}
		if diff := cmp.Diff(want, slices.Sorted(slices.Values(invariants(t, db)))); diff != "" {
			t.Error(diff)
		}
	})
}

// A button pressed twice makes one purchase, whichever press comes first; another person's key, and another key, make others.
func TestPressedTwiceAtOnceMakesOnePurchase(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		shop := &workshop.Shop{Store: db, Now: func() time.Time { return noon }, Zone: time.UTC}
		press := func(person, key string) (workshop.PurchaseStory, error) {
			ctx := workshop.WithPerson(t.Context(), workshop.Person{Name: person, Role: workshop.Lead})
			return shop.AddPurchase(ctx, workshop.PurchaseForm{Supplier: "hollin", Lines: []workshop.PurchaseFormLine{{Wire: "W-R-12", Packs: 1}}, Key: key})
		}
		var codes [2]purchase.Code
		var both sync.WaitGroup
		for i := range codes {
			both.Go(func() {
				p, err := press("ines", "k1")
				if err != nil {
					t.Error(err)
				}
				codes[i] = p.Code
			})
		}
		both.Wait()
		if codes[0] == "" || codes[0] != codes[1] {
			t.Errorf("two presses made %v", codes)
		}
		for _, other := range [][2]string{{"ines", "k2"}, {"tove", "k1"}, {"ines", ""}, {"ines", ""}} {
			if p, err := press(other[0], other[1]); err != nil || p.Code == codes[0] {
				t.Errorf("%v: %s, %v", other, p.Code, err)
			}
		}
		all := answered(t, db, func(r workshop.Reader) ([]purchase.Purchase, error) { return r.Purchases(workshop.PurchaseFilter{}) })
		if len(all) != 5 {
			t.Errorf("%d purchases stand, want 5", len(all))
		}
		if err := db.InTx(t.Context(), func(tx workshop.Tx) error { p := all[0]; p.Code, p.Key = "P-9", "ines k1"; return tx.AddPurchase(p) }); !errors.Is(err, workshop.ErrExists) {
			t.Errorf("the same key past the use case: %v", err)
		}
	})
}
