package store_test

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// Thirty-two people at two servers confirm orders for the same few wires at once, while others weigh the spools of these wires and write up batches
// that draw on them. Wire is promised once, spools hold what was weighed less what was drawn, and nobody is told that the
// database was busy.
func TestWorkAtOnce(t *testing.T) {
	for name, address := range map[string]func(testing.TB) string{"sqlite": sqliteAddress, "postgres": testkit.Postgres} {
		t.Run(name, func(t *testing.T) { workAtOnce(t, address(t)) })
	}
}

func workAtOnce(t *testing.T, address string) {
	day, now := testkit.Day(t), testkit.Morning(t)
	db := migrated(t, address)
	var shops [2]*workshop.Shop
	for i, server := range []*store.DB{db, opened(t, address)} {
		shops[i] = &workshop.Shop{Store: server, Name: "test", Now: func() time.Time { return now }, Zone: time.UTC}
	}
	shop := shops[0]
	ctx := testkit.As(t.Context(), workshop.Owner)
	must := func(_ any, err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	must(shop.Import(ctx, testkit.ScarceShop, false))
	must(shop.AddOrder(ctx, testkit.ScarceOrder("R", 6, 4, day+1), true))
	must(shop.ProposeDay(ctx, day))
	plan, err := shop.ReleaseDay(ctx, day)
	must(plan, err)
	code := func(i int) order.Code { return order.Code(fmt.Sprintf("C-%d", i)) }
	const people = 32
	for i := range people {
		must(shop.AddOrder(ctx, testkit.ScarceOrder(code(i), 6, 1, day+calendar.Date(i)), false))
	}

	var group sync.WaitGroup
	at := func(what string, act func() error, but ...error) {
		group.Go(func() {
			err := act()
			for _, refusal := range but {
				if errors.Is(err, refusal) {
					return
				}
			}
			if err != nil {
				t.Errorf("%s: %v", what, err)
			}
		})
	}
	for i := range people {
		shop := shops[i%2]
		at("confirm", func() error { _, err := shop.ConfirmOrder(ctx, code(i)); return err })
		at("weigh", func() error {
			spool := stock.SpoolCode(fmt.Sprintf("S-%d", 1+i%6))
			b, err := spoolOf(db, spool)
			if err == nil {
				_, err = shop.Weigh(ctx, workshop.Weigh{Spool: spool, Gross: b.Tare + max(b.Mass-measure.Mass(i)*7, 0), Confirmed: true})
			}
			return err
		})
		for _, m := range plan.Machines {
			for _, b := range m.Batches {
				at("wind", func() error {
					_, err := shop.PostResult(ctx, workshop.ResultForm{Batch: b.Code, Good: 1, Person: "Ines", Continues: true, Key: fmt.Sprint(b.Code, i%4)})
					return err
				}, workshop.ErrShort) // a weighing took what the batch held
			}
		}
	}
	group.Wait()

	if got := invariants(t, db); len(got) > 0 {
		t.Errorf("broken: %q", got)
	}
	read(t, db, func(r workshop.Reader) error {
		room, held := map[material.WireCode]measure.Mass{}, map[material.WireCode]measure.Mass{}
		for _, s := range answered(t, db, workshop.Reader.Spools) {
			room[s.Wire] += s.Drawable()
		}
		for wire := range room {
			promises, err := r.Allocations(wire)
			if err != nil {
				return err
			}
			for _, p := range promises {
				held[wire] += p.Mass
			}
		}
		for _, wire := range []material.WireCode{"MW-10", "MW-H-17", "PB-11.5"} {
			if held[wire] > room[wire] {
				t.Errorf("orders hold %s of the %s of %s", held[wire], room[wire], wire)
			}
		}
		if held["MW-10"] != room["MW-10"] {
			t.Errorf("orders hold %s of %s of MW-10 although they are short of it", held["MW-10"], room["MW-10"])
		}
		for _, m := range plan.Machines {
			for _, b := range m.Batches {
				if results, err := r.Results(b.Code); err != nil || batchStrings(results) > 4 {
					t.Errorf("four results of one string under four keys wound %d, %v", batchStrings(results), err)
				}
			}
		}
		return nil
	})
}

func spoolOf(db *store.DB, code stock.SpoolCode) (b stock.Balance, err error) {
	err = db.Read(context.Background(), func(r workshop.Reader) error {
		b, err = r.Spool(code)
		return err
	})
	return b, err
}

func batchStrings(results []batch.Result) (n int) {
	for _, r := range results {
		n += r.Strings()
	}
	return n
}
