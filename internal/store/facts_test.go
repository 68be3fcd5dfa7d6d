package store_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/planning"
	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

// same compares an answer with what it should be.
func same[T any](t *testing.T, what string, want T) func(T, error) {
	t.Helper()
	return func(got T, err error) {
		t.Helper()
		if err != nil {
			t.Errorf("%s: %v", what, err)
		} else if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", what, diff)
		}
	}
}

func balances() []stock.Balance {
	var list []stock.Balance
	for i, s := range spools {
		list = append(list, stock.Balance{Spool: s, State: stock.Available, UsableEnd: wires[i].UsableEnd, Mass: s.Net(), Value: s.Cost})
	}
	return list
}

func TestFactsComeBackAsTheyWere(t *testing.T) {
	practice := catalog.DefaultPractice()
	practice.WasteTurns, practice.Currency, practice.ChangeSpool = 7.25, "EUR", 91*time.Second+3
	practice.Buying = catalog.Buying{Service: .9, ReviewDays: 7, ReceivingDays: 3, CarryingRate: .125, LineCost: 250, WatchDays: 21, CoverDays: 180}
	practice.ScaleResolution, practice.LossOfDrawn, practice.LossOfReceived = 10, 0.0625, 0.03
	practice.SetWork = catalog.SetWork{CautionShare: 0.5, RefuseShare: 0.65, LeastCore: 0.2, MostCore: 0.6, MostWrap: 1.25, AddedTension: 12.5,
		LabourPerHour: 3150, Margin: 0.4}
	onBoth(t, func(t *testing.T, db *store.DB) {
		same(t, "default practice", catalog.DefaultPractice())(answered(t, db, workshop.Reader.Practice), nil)
		fill(t, db)
		for range 2 { // the second replaces the first
			write(t, db, func(tx workshop.Tx) error { return tx.SavePractice(practice) })
		}
		read(t, db, func(r workshop.Reader) error {
			same(t, "practice", practice)(r.Practice())
			same(t, "suppliers", suppliers)(r.Suppliers())
			same(t, "alloys", alloys)(r.Alloys())
			same(t, "wires", wires)(r.Wires())
			same(t, "recipes", recipes)(r.Recipes())
			same(t, "sets", sets)(r.Sets())
			same(t, "machines", machines)(r.Machines())
			same(t, "orders by due date", []order.Order{orders[1], orders[0]})(r.Orders(workshop.OrderFilter{}))
			same(t, "open orders", orders[:1])(r.Orders(workshop.OrderFilter{OpenOnly: true}))
			same(t, "order codes", []order.Code{"O-1", "O-2"})(r.OrderCodes())
			same(t, "spools", balances())(r.Spools())
			return nil
		})
	})
}

func TestCodesAreMatchedWithoutCase(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		read(t, db, func(r workshop.Reader) error {
			same(t, "order", orders[0])(r.Order("o-1"))
			same(t, "spool", balances()[0])(r.Spool("s-1"))
			moves, err := r.Movements("s-1")
			if err != nil || len(moves) != 1 {
				t.Errorf("%d movements, %v", len(moves), err)
			}
			return nil
		})
		want := slices.Clone(recipes)
		want[1] = catalog.Recipe{Code: "W-40", Gauge: 1, Core: "C-H-16", Wraps: []catalog.Wrap{{Wire: "W-R-12", Lay: 5}}, Yield: 0.5}
		again := want[1]
		again.Code = "w-40"
		set := catalog.Set{Code: "HARBOUR-2", Positions: sets[0].Positions[:1]}
		wire := wires[1]
		wire.Code, wire.Supplier = "w-r-12", ""
		write(t, db, func(tx workshop.Tx) error {
			return errors.Join(tx.SaveRecipes([]catalog.Recipe{again}), tx.SaveSets([]catalog.Set{set}), tx.SaveWires([]material.Wire{wire}))
		})
		read(t, db, func(r workshop.Reader) error {
			same(t, "recipes", want)(r.Recipes())
			same(t, "sets", []catalog.Set{{Code: "Harbour-2", Positions: sets[0].Positions[:1]}})(r.Sets())
			saved, err := r.Wires()
			if err != nil || len(saved) != 3 || saved[1].Code != "W-R-12" || saved[1].Supplier != "" {
				t.Errorf("wires %+v, %v", saved, err)
			}
			return nil
		})
	})
}

// TestARetiredSetStaysForItsOrders and stands again when it is saved again.
func TestARetiredSetStaysForItsOrders(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		write(t, db, func(tx workshop.Tx) error { return tx.RetireSet(sets[0].Code) })
		read(t, db, func(r workshop.Reader) error {
			same(t, "standing sets", []catalog.Set{})(r.Sets())
			same(t, "order", orders[0])(r.Order("O-1"))
			return nil
		})
		write(t, db, func(tx workshop.Tx) error { return tx.SaveSets(sets) })
		read(t, db, func(r workshop.Reader) error {
			same(t, "sets", sets)(r.Sets())
			return nil
		})
	})
}

func TestUsageAnswersAndTokens(t *testing.T) {
	usage := []stock.Usage{{On: monday, Wire: "W-R-12", Mass: 5, Order: "O-9", Nth: 1}, {On: monday, Wire: "W-R-12", Mass: 5, Order: "O-9", Nth: 2},
		{On: monday - 1, Wire: "W-R-12", Mass: 5, Nth: 1}}
	answer := workshop.KeptAnswer{Key: "k", RequestHash: []byte{1, 0, 255}, Status: 201, Body: []byte(`{"a":1}`), At: noon}
	token := workshop.Token{Name: "Bench", Hash: []byte{9, 8}, Role: workshop.Winder, CreatedAt: noon}
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		write(t, db, func(tx workshop.Tx) error {
			return errors.Join(tx.AddUsage(usage), tx.KeepAnswer(answer), tx.AddToken(token))
		})
		read(t, db, func(r workshop.Reader) error {
			twice, once := usage[0], usage[2]
			twice.Nth, once.Nth = 0, 0
			same(t, "usage", map[stock.Usage]int{twice: 2, once: 1})(r.UsageKeys())
			same(t, "answer", answer)(r.Answer("k"))
			same(t, "token", token)(r.Token(token.Hash))
			return nil
		})
		raw(t, db, "UPDATE tokens SET revoked_at = '2026-03-02 12:00:00+00:00'")
		err := db.Read(t.Context(), func(r workshop.Reader) error { _, err := r.Token(token.Hash); return err })
		if !errors.Is(err, workshop.ErrNotFound) {
			t.Errorf("a revoked token: %v", err)
		}
	})
}

func TestNotFound(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		read(t, db, func(r workshop.Reader) error {
			_, noOrder := r.Order("O-9")
			_, noSpool := r.Spool("S-9")
			_, noMoves := r.Movements("S-9")
			_, noKey := r.MovementByKey("k")
			_, noPlan := r.Plan(monday)
			_, noAnswer := r.Answer("k")
			_, noToken := r.Token([]byte{1})
			for i, err := range []error{noOrder, noSpool, noMoves, noKey, noPlan, noAnswer, noToken} {
				if !errors.Is(err, workshop.ErrNotFound) {
					t.Errorf("%d: %v", i, err)
				}
			}
			return nil
		})
	})
}

func TestExists(t *testing.T) {
	usage := []stock.Usage{{On: monday, Wire: "W-R-12", Mass: 5, Nth: 1}}
	answer := workshop.KeptAnswer{Key: "k", RequestHash: []byte{1}, Status: 200, At: noon}
	lower := func(o order.Order) order.Order { o.Code = order.Code(strings.ToLower(string(o.Code))); return o }
	tests := []struct {
		name string
		add  func(workshop.Tx) error
		says string
	}{
		{"order", func(tx workshop.Tx) error { return tx.AddOrders([]order.Order{lower(orders[1])}) }, "order O-2"},
		{"spool", func(tx workshop.Tx) error { return tx.AddSpools(spools[1:]) }, "spool S-2"},
		{"usage", func(tx workshop.Tx) error { return tx.AddUsage(usage) }, ""},
		{"answer", func(tx workshop.Tx) error { return tx.KeepAnswer(answer) }, ""},
		{"token", func(tx workshop.Tx) error {
			return tx.AddToken(workshop.Token{Name: "BENCH", Hash: []byte{2}, Role: workshop.Lead, CreatedAt: noon})
		}, "token BENCH"},
	}
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		write(t, db, func(tx workshop.Tx) error {
			return errors.Join(tx.AddUsage(usage), tx.KeepAnswer(answer),
				tx.AddToken(workshop.Token{Name: "bench", Hash: []byte{1}, Role: workshop.Lead, CreatedAt: noon}))
		})
		for _, tt := range tests {
			t.Run(tt.name, func(t *testing.T) {
				if err := db.InTx(t.Context(), tt.add); !errors.Is(err, workshop.ErrExists) || !strings.Contains(err.Error(), tt.says) {
					t.Errorf("got %v, want it to name %q", err, tt.says)
				}
			})
		}
	})
}

func TestWhatIsNamedMustBeThere(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		spool := spools[0]
		spool.Code, spool.Wire = "S-9", "none"
		err := db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.AddSpools([]stock.Spool{spool}) })
		if !errors.Is(err, store.ErrRefers) {
			t.Errorf("a spool of no wire: %v", err)
		}
	})
}

func TestSetOrderStatus(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		set := func(code order.Code, from, to order.Status) error {
			return db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.SetOrderStatus(code, from, to) })
		}
		if err := set("o-2", order.Draft, order.Confirmed); err != nil {
			t.Error(err)
		}
		if err := set("O-2", order.Draft, order.Cancelled); !errors.Is(err, workshop.ErrChanged) || !strings.Contains(err.Error(), "is confirmed") {
			t.Errorf("from a status it no longer has: %v", err)
		}
		if err := set("O-9", order.Draft, order.Confirmed); !errors.Is(err, workshop.ErrNotFound) {
			t.Errorf("of no order: %v", err)
		}
	})
}

func TestPlanLife(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		plan := func(r workshop.Reader) (workshop.DayPlan, error) { return r.Plan(monday) }
		inTx := func(fn func(workshop.Tx) error) error { return db.InTx(t.Context(), fn) }

		if err := inTx(func(tx workshop.Tx) error { return tx.Release(monday, "ines", noon) }); !errors.Is(err, workshop.ErrNotFound) {
			t.Errorf("release without a proposal: %v", err)
		}
		first := proposal()
		first.NotPlanned, first.Late, first.Machines = nil, nil, first.Machines[:1]
		write(t, db, func(tx workshop.Tx) error { return tx.SavePlan(first) })
		same(t, "first proposal", first)(answered(t, db, plan), nil)
		write(t, db, func(tx workshop.Tx) error { return tx.SavePlan(proposal()) })
		same(t, "second proposal", proposal())(answered(t, db, plan), nil)
		same(t, "covered by a proposal", []batch.Serve{})(answered(t, db, workshop.Reader.Covered), nil)

		other := proposal()
		other.Date++
		if err := inTx(func(tx workshop.Tx) error { return tx.SavePlan(other) }); !errors.Is(err, workshop.ErrExists) || !strings.Contains(err.Error(), "B1") {
			t.Errorf("batch codes of another day: %v", err)
		}

		release(t, db)
		want := proposal()
		want.Released, want.ReleasedBy, want.ReleasedAt = true, "ines", noon
		for i := range want.Machines[0].Batches {
			b := &want.Machines[0].Batches[i]
			b.Status = batch.Released
			for k := range b.Draws {
				b.Draws[k].Allocated = b.Draws[k].Mass
			}
		}
		same(t, "released", want)(answered(t, db, plan), nil)
		if err := inTx(func(tx workshop.Tx) error { return tx.SavePlan(proposal()) }); !errors.Is(err, workshop.ErrReleased) {
			t.Errorf("propose a released day: %v", err)
		}
		if err := inTx(func(tx workshop.Tx) error { return tx.Release(monday, "bo", noon) }); !errors.Is(err, workshop.ErrReleased) {
			t.Errorf("release twice: %v", err)
		}
		same(t, "still as it was released", want)(answered(t, db, plan), nil)
		read(t, db, func(r workshop.Reader) error {
			same(t, "covered", []batch.Serve{{Order: "O-1", Line: 1, Position: 1, Strings: 5}, {Order: "O-1", Line: 1, Position: 2, Strings: 5}})(r.Covered())
			same(t, "batches", want.Machines[0].Batches)(r.Batches(workshop.BatchFilter{Date: monday, Status: batch.Released}))
			same(t, "no batches", []batch.Batch(nil))(r.Batches(workshop.BatchFilter{Date: monday + 1}))
			return nil
		})
	})
}

func TestLoadedIsOfTheLastReleasedDay(t *testing.T) {
	at := func(day int, scale int, released bool, machines ...catalog.MachineCode) func(workshop.Tx) error {
		return func(tx workshop.Tx) error {
			p := workshop.DayPlan{ProposedAt: noon}
			p.Date = monday
			p.Date += calendar.Date(day)
			for _, m := range machines {
				p.Machines = append(p.Machines, planning.MachineDay{Machine: m, After: planning.Loaded{Core: planning.Place{Wire: "C-H-16"}, Scale: measure.Size(scale)}})
			}
			if err := tx.SavePlan(p); err != nil || !released {
				return err
			}
			return tx.Release(p.Date, "ines", noon)
		}
	}
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		write(t, db, at(0, 10, true, "bench-1", "bench-2"))
		write(t, db, at(1, 20, true, "bench-1"))
		write(t, db, at(2, 30, false, "bench-1", "bench-2"))
		for day, want := range [][2]int{{0, 0}, {10, 10}, {20, 10}, {20, 10}} {
			got := answered(t, db, func(r workshop.Reader) (map[catalog.MachineCode]planning.Loaded, error) {
				return r.Loaded(monday + calendar.Date(day))
			})
			if got["bench-1"].Scale != measure.Size(want[0]) || got["bench-2"].Scale != measure.Size(want[1]) {
				t.Errorf("before day %d: %+v, want %v", day, got, want)
			}
		}
	})
}
