package store_test

import (
	"errors"
	"slices"
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// weigh posts a draw of a released batch and a weighing of the same spool, 30 mg short, of which the batch bears 20.
func weigh(t testing.TB, db *store.DB) workshop.Weighing {
	t.Helper()
	var w workshop.Weighing
	write(t, db, func(tx workshop.Tx) error {
		draw := stock.Movement{Spool: "S-1", Kind: stock.Draw, Mass: -1000, Cost: -7, EffectiveOn: monday, EffectiveAt: noon, PostedAt: noon,
			Person: "ines", Source: "batch B1"}
		difference := draw
		difference.Kind, difference.Mass, difference.Cost, difference.Source = stock.WeighBack, -30, -1, "scale"
		posted, err := tx.Post([]stock.Movement{draw, difference})
		if err != nil {
			return err
		}
		w = workshop.Weighing{Movement: posted[1], Gross: 1198970, Tare: 200000, Book: 999000, Net: 998970, Uncertainty: 12,
			Note: "after B1", Shares: []stock.Share{{Source: "B1", Mass: -20}, {Mass: -10}}}
		return tx.KeepWeighing(w)
	})
	return w
}

// deliver puts two of the shop's spools into one delivery.
func deliver(t testing.TB, db *store.DB) {
	t.Helper()
	write(t, db, func(tx workshop.Tx) error {
		return tx.AddDelivery(workshop.Delivery{Code: "D-1", Cost: 10000, Freight: 226, PostedAt: noon, Person: "ines"}, []stock.SpoolCode{"s-1", "S-2"})
	})
}

func TestWeighings(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		release(t, db)
		want := weigh(t, db)
		read(t, db, func(r workshop.Reader) error {
			same(t, "weighing", want)(r.Weighing(want.Movement.ID))
			same(t, "weighings of the day", []workshop.Weighing{want})(r.Weighings(monday, monday))
			same(t, "weighings before", []workshop.Weighing(nil))(r.Weighings(monday-9, monday-1))
			same(t, "movement", want.Movement)(r.Movement(want.Movement.ID))
			same(t, "recipes", map[batch.Code]catalog.RecipeCode{"B1": "P-16", "B2": "W-40"})(r.RecipesOf([]batch.Code{"B1", "B2", "B9"}))
			if _, err := r.Weighing(1); !errors.Is(err, workshop.ErrNotFound) {
				t.Errorf("the weighing of a receipt: %v", err)
			}
			if _, err := r.Movement(999); !errors.Is(err, workshop.ErrNotFound) {
				t.Errorf("no movement: %v", err)
			}
			return nil
		})
		for name, again := range map[string]workshop.Weighing{"twice": want, "of no movement": {Movement: stock.Movement{ID: 999}},
			"of no batch": {Movement: stock.Movement{ID: 2}, Shares: []stock.Share{{Source: "B9", Mass: 1}}}} {
			if err := db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.KeepWeighing(again) }); err == nil {
				t.Errorf("kept a weighing %s", name)
			}
		}
		for _, change := range []string{"UPDATE weighings SET net = 0", "DELETE FROM weighings", "UPDATE weighing_shares SET mass = 1", "DELETE FROM weighing_shares"} {
			if err := store.Translate(db.Raw().Exec(change).Error); !errors.Is(err, store.ErrAppendOnly) {
				t.Errorf("%s: %v", change, err)
			}
		}
		write(t, db, func(tx workshop.Tx) error { // taken back, it is no weighing any more
			_, err := tx.Post([]stock.Movement{{Spool: "S-1", Kind: stock.Reversal, Mass: 30, Cost: 1, EffectiveOn: monday, EffectiveAt: noon, PostedAt: noon,
				Reverses: want.Movement.ID}})
			return err
		})
		same(t, "weighings that stand", 0)(len(answered(t, db, func(r workshop.Reader) ([]workshop.Weighing, error) { return r.Weighings(monday, monday) })), nil)
	})
}

// Watches is stock.History for all spools at once: both must say the same of every spool.
func TestWatchesAgreeWithHistory(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		release(t, db)
		weigh(t, db)
		after := noon.Add(1)
		after = after.Truncate(1000).Add(1000)
		draw := func(spool stock.SpoolCode, source string, mass measure.Mass) stock.Movement {
			return stock.Movement{Spool: spool, Kind: stock.Draw, Mass: -mass, EffectiveOn: monday, EffectiveAt: after, PostedAt: noon, Source: source}
		}
		write(t, db, func(tx workshop.Tx) error {
			posted, err := tx.Post([]stock.Movement{draw("S-1", "batch B2", 5), draw("S-1", "batch B1", 3), draw("S-1", "batch B2", 2),
				draw("S-2", "batch B2", 9), draw("S-2", "batch B1", 4), draw("S-3", "by hand", 8)})
			if err != nil {
				return err
			}
			_, err = tx.Post([]stock.Movement{{Spool: "S-2", Kind: stock.Reversal, Mass: 9, EffectiveOn: monday, EffectiveAt: after, PostedAt: noon,
				Reverses: posted[3].ID}})
			return err
		})
		read(t, db, func(r workshop.Reader) error {
			watches, err := r.Watches()
			if err != nil {
				return err
			}
			for _, s := range spools {
				moves, err := r.Movements(s.Code)
				if err != nil {
					return err
				}
				h := stock.HistoryOf(moves, noon.AddDate(1, 0, 0))
				want := workshop.Watch{Drawn: h.Drawn()}
				if last, ok := h.Weighed(); ok {
					want.WeighedOn = last.EffectiveOn
				}
				slices.SortFunc(want.Drawn, func(a, b stock.Drawn) int { return int(a.Mass - b.Mass) })
				got := watches[s.Code]
				slices.SortFunc(got.Drawn, func(a, b stock.Drawn) int { return int(a.Mass - b.Mass) })
				recipes := map[string]string{"B1": "P-16", "B2": "W-40"}
				for i, d := range want.Drawn {
					want.Drawn[i].Recipe = recipes[d.Source]
				}
				same(t, string(s.Code), want)(got, nil)
			}
			if len(watches) != 3 {
				t.Errorf("%d spools are watched, want 3", len(watches))
			}
			return nil
		})
		same(t, "used in a year", map[material.WireCode]measure.Mass{"C-H-16": 1010, "W-R-12": 4, "W-X-40": 8})(
			answered(t, db, func(r workshop.Reader) (map[material.WireCode]measure.Mass, error) {
				return r.WireUsed(monday-364, monday)
			}), nil)
	})
}

func TestHolders(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		release(t, db)
		want := []workshop.Holder{{Batch: "B1", Number: 1, Date: monday, Machine: "bench-1", Mass: 5001}, {Batch: "B2", Number: 1, Date: monday, Machine: "bench-1", Mass: 6000}}
		holders := func(r workshop.Reader) ([]workshop.Holder, error) { return r.Holders("s-1") }
		same(t, "holders", want)(answered(t, db, holders), nil)
		write(t, db, func(tx workshop.Tx) error {
			return errors.Join(tx.SetDrawAllocated("B1", 1, 0), tx.SetDrawAllocated("B2", 1, 7), tx.Allocate("S-1", -5001-5993))
		})
		want[1].Mass = 7
		same(t, "holders after a cut", want[1:])(answered(t, db, holders), nil)
		if got := invariants(t, db); len(got) > 0 {
			t.Errorf("broken: %q", got)
		}
	})
}

func TestQuarantineInTheStore(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		write(t, db, func(tx workshop.Tx) error {
			return errors.Join(tx.SetState("s-2", stock.Quarantined), tx.SetLocation("s-2", "cupboard"))
		})
		b := answered(t, db, func(r workshop.Reader) (stock.Balance, error) { return r.Spool("S-2") })
		if b.State != stock.Quarantined || b.Location != "cupboard" || b.Drawable() != 0 || b.Free() != b.Mass {
			t.Errorf("a quarantined spool reads %+v", b)
		}
		for name, tt := range map[string]struct {
			do   func(workshop.Tx) error
			want error
		}{
			"promised":       {func(tx workshop.Tx) error { return tx.Allocate("S-2", 1) }, workshop.ErrShort},
			"drawn on":       {func(tx workshop.Tx) error { _, err := tx.Post([]stock.Movement{drawn(-1, 0)}); return err }, stock.ErrWithheld},
			"of no spool":    {func(tx workshop.Tx) error { return tx.SetState("S-9", stock.Available) }, workshop.ErrNotFound},
			"placed nowhere": {func(tx workshop.Tx) error { return tx.SetLocation("S-9", "x") }, workshop.ErrNotFound},
			"lost":           {func(tx workshop.Tx) error { return tx.SetState("S-2", "lost") }, store.ErrRule},
		} {
			if err := db.InTx(t.Context(), tt.do); !errors.Is(err, tt.want) {
				t.Errorf("%s: %v, want %v", name, err, tt.want)
			}
		}
	})
}

func TestEmptySpoolsAndDeliveries(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		write(t, db, func(tx workshop.Tx) error {
			for _, e := range []workshop.EmptySpool{{Type: "DIN-160", Mass: 115_000, Key: "k"}, {Type: "din-160", Mass: 116_000}, {Type: "P-5", Mass: 90_000}} {
				e.At, e.Person = noon, "ines"
				if err := tx.AddEmptySpool(e); err != nil {
					return err
				}
			}
			return nil
		})
		same(t, "empty spools", map[string][]measure.Mass{"DIN-160": {115_000, 116_000}, "P-5": {90_000}})(answered(t, db, workshop.Reader.EmptySpools), nil)
		err := db.InTx(t.Context(), func(tx workshop.Tx) error {
			return tx.AddEmptySpool(workshop.EmptySpool{Type: "P-5", Mass: 1, At: noon, Key: "k"})
		})
		if !errors.Is(err, workshop.ErrExists) {
			t.Errorf("the same key again: %v", err)
		}
		deliver(t, db)
		err = db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.AddDelivery(workshop.Delivery{Code: "d-1", PostedAt: noon}, nil) })
		if !errors.Is(err, workshop.ErrExists) {
			t.Errorf("a delivery twice: %v", err)
		}
		same(t, "codes", []string{"D-1"})(answered(t, db, func(r workshop.Reader) ([]string, error) { return r.DeliveryCodes("d-") }), nil)
		same(t, "spools", []stock.SpoolCode{"S-1", "S-2"})(answered(t, db, func(r workshop.Reader) ([]stock.SpoolCode, error) { return r.DeliverySpools("d-1") }), nil)
		if err := db.Read(t.Context(), func(r workshop.Reader) error { _, err := r.DeliverySpools("D-9"); return err }); !errors.Is(err, workshop.ErrNotFound) {
			t.Errorf("spools of no delivery: %v", err)
		}
		same(t, "no codes", 0)(len(answered(t, db, func(r workshop.Reader) ([]string, error) { return r.DeliveryCodes("x") })), nil)
		if got := invariants(t, db); len(got) > 0 {
			t.Errorf("broken: %q", got)
		}
		typed := stock.Spool{Code: "S-9", Wire: "C-H-16", Lot: "L", ReceivedOn: monday, Gross: 200_000, Tare: 115_500, Type: "DIN-160"}
		write(t, db, func(tx workshop.Tx) error { return tx.AddSpools([]stock.Spool{typed}) })
		same(t, "spool of a type", typed)(answered(t, db, func(r workshop.Reader) (stock.Balance, error) { return r.Spool("S-9") }).Spool, nil)
	})
}

// A weighing as of a closed month is refused whole: no movement, no weighing, no wire taken from a batch.
func TestWeighIntoAClosedMonth(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		release(t, db)
		shop := &workshop.Shop{Store: db, Now: func() time.Time { return noon }, Zone: time.UTC}
		ctx := testkit.As(t.Context(), workshop.Owner)
		closeMonths(t, db, noon.Add(time.Second), "2026-01", "2026-02")
		before := answered(t, db, workshop.Reader.Spools)
		in := workshop.Weigh{Spool: "S-1", Gross: 205_000, Confirmed: true, At: noon.AddDate(0, 0, -2)} // the batches hold 11 g
		if _, err := shop.Weigh(ctx, in); !errors.Is(err, workshop.ErrClosed) {
			t.Errorf("got %v", err)
		}
		same(t, "spools", before)(answered(t, db, workshop.Reader.Spools), nil)
		in.At = noon.Add(-time.Hour)
		w, err := shop.Weigh(ctx, in)
		if err != nil || !slices.Equal(w.Short, []workshop.ShortCut{{Batch: "B2", Mass: 6000}, {Batch: "B1", Mass: 1}}) {
			t.Errorf("in the open month: %+v, %v", w.Short, err)
		}
		if got := invariants(t, db); len(got) > 0 {
			t.Errorf("broken: %q", got)
		}
	})
}
