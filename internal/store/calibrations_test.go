package store_test

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

func TestCalibrationsAreKeptAndNeverChanged(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		recipe := answered(t, db, workshop.Reader.Recipes)[0].Code
		one := workshop.Calibration{Number: 1, Recipe: recipe, Scale: 650 * measure.Millimetre, Strings: 10, Mass: 42_000, Cores: 20_000, Ends: 3_000, Resolution: 10,
			Computed: 38_765.25, Gauges: 3, Gauge: 1_079_500.5, GaugeSD: 1_200.25, GaugeStep: 1270, Vouched: true, Note: "tray 3", At: noon, Person: "Ada", Key: "k"}
		back := workshop.Calibration{Number: 2, Recipe: recipe, Scale: one.Scale, Resolution: 1, Reverses: 1, Note: "wrong tray", At: noon, Person: "Ada"}
		write(t, db, func(tx workshop.Tx) error { return tx.AddCalibration(one) })
		write(t, db, func(tx workshop.Tx) error {
			if err := tx.AddCalibration(one); !errors.Is(err, workshop.ErrExists) {
				t.Errorf("its key twice: %v", err)
			}
			return tx.AddCalibration(back)
		})
		got := answered(t, db, func(r workshop.Reader) ([]workshop.Calibration, error) { return r.Calibrations(recipe) })
		if want := []workshop.Calibration{one, back}; !reflect.DeepEqual(got, want) {
			t.Errorf("got %+v, want %+v", got, want)
		}
		if other := answered(t, db, func(r workshop.Reader) ([]workshop.Calibration, error) { return r.Calibrations("none") }); len(other) > 0 {
			t.Errorf("of another recipe: %+v", other)
		}
		if err := db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.AddCalibration(back) }); err == nil {
			t.Error("taken back twice")
		}
		for _, statement := range []string{"UPDATE calibrations SET mass = 1", "DELETE FROM calibrations"} {
			if err := db.Raw().Exec(statement).Error; err == nil || !strings.Contains(err.Error(), "append only: ") {
				t.Errorf("%s: %v", statement, err)
			}
		}
		if broken := invariants(t, db); len(broken) > 0 {
			t.Errorf("broken: %q", broken)
		}
		write(t, db, func(tx workshop.Tx) error { back.Reverses = 2; return tx.AddCalibration(back) })
		if broken := invariants(t, db); len(broken) != 1 || !strings.Contains(strings.Join(broken, ""), "takes another back") {
			t.Errorf("what takes back was taken back: %q", broken)
		}
	})
}

func TestPromisesAreKept(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		code := answered(t, db, workshop.Reader.OrderCodes)[0]
		held := func() order.Order {
			return answered(t, db, func(r workshop.Reader) (order.Order, error) { return r.Order(code) })
		}
		if o := held(); !o.PromisedOn.IsZero() || o.HeldTo() != o.DueOn {
			t.Errorf("promised for %s before anyone did", o.PromisedOn)
		}
		day := held().DueOn + 9
		for _, on := range []calendar.Date{day, 0} {
			write(t, db, func(tx workshop.Tx) error { return tx.SetPromised(order.Code(strings.ToLower(string(code))), on) })
			if o := held(); o.PromisedOn != on || o.HeldTo() != max(on, o.DueOn) {
				t.Errorf("promised for %s, want %s", o.PromisedOn, on)
			}
		}
		if err := db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.SetPromised("none", day) }); !errors.Is(err, workshop.ErrNotFound) {
			t.Errorf("of no order: %v", err)
		}
	})
}
