package workshop_test

import (
	"bytes"
	"fmt"
	"maps"
	"testing"
	"testing/fstest"

	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// newPerfectWinders is the scarce shop where nothing is scrapped and the wrap is on one spool: what an order needs is what its batches
// draw, and all of it may be drawn.
func newPerfectWinders(t *testing.T) *winders {
	t.Helper()
	shop := maps.Clone(testkit.ScarceShop)
	recipes := bytes.ReplaceAll(shop["recipes.csv"].Data, []byte(",0.85,"), []byte(",1,"))
	shop["recipes.csv"] = &fstest.MapFile{Data: bytes.ReplaceAll(recipes, []byte(",0.9,"), []byte(",1,"))}
	spools := bytes.ReplaceAll(shop["spools.csv"].Data, []byte("S-5,PB-11.5,L5,2026-01-12,240,200,5.03,rack 2\n"), nil)
	shop["spools.csv"] = &fstest.MapFile{Data: bytes.ReplaceAll(spools, []byte("275,200,6.07"), []byte("315,200,6.07"))}
	w := &winders{Shop: testkit.Shop(t), t: t, day: testkit.Day(t)}
	if _, err := w.Import(w.as(workshop.Owner), shop, false); err != nil {
		t.Fatal(err)
	}
	return w
}

// A recipe that takes more wrap than computed is told, allocated and drawn with the same figure: an order that is confirmed without a
// shortage is wound whole when its day is released, and one string more is said to be short when it is confirmed.
func TestWhatIsConfirmedSufficesAtRelease(t *testing.T) {
	const factor = 1.04
	most := func(calibrated bool) (n int) {
		for n = 30; ; n++ {
			w := newPerfectWinders(t)
			if calibrated {
				if _, err := w.Calibrate(w.as(workshop.Lead), w.weighFinished(200, factor)); err != nil {
					t.Fatal(err)
				}
			}
			story := w.add("O-1", 0, n, w.day+9)
			w.sound()
			if len(story.Shortages) > 0 {
				return n - 1
			}
			if calibrated {
				if b := w.release(w.day)["W-42.5"]; b.Ordered != n {
					t.Errorf("%d strings are confirmed without a shortage and %d released", n, b.Ordered)
				}
				w.sound()
			}
		}
	}
	if computed, calibrated := most(false), most(true); calibrated >= computed {
		t.Errorf("%d strings reach with more wrap, %d as computed", calibrated, computed)
	}
}

// What is weighed while an order is confirmed changes what it holds.
func TestConfirmedOrdersNeedWhatIsWeighed(t *testing.T) {
	w := newPerfectWinders(t)
	w.add("O-1", 0, 20, w.day+9)
	before := w.story("O-1").Wires
	if _, err := w.Calibrate(w.as(workshop.Lead), w.weighFinished(200, 1.04)); err != nil {
		t.Fatal(err)
	}
	for step := range 2 {
		after := w.story("O-1").Wires
		for i := range after {
			more := float64(after[i].Needed) / float64(before[i].Needed)
			if wrap := step == 0 && after[i].Wire == "PB-11.5"; wrap != (more > 1.03) || !wrap && more != 1 || after[i].Mass != after[i].Needed {
				t.Errorf("step %d: of %s it needs %s where it needed %s, and holds %s", step, after[i].Wire, after[i].Needed, before[i].Needed, after[i].Mass)
			}
		}
		if _, err := w.TakeBackCalibration(w.as(workshop.Lead), "W-42.5", 1, "wrong scale"); err != nil {
			t.Fatal(err)
		}
	}
	w.sound()
}

// An order that was promised for a later day than it is due on gives way to one that is held to an earlier day.
func TestWireGoesToTheOrderHeldToTheEarlierDay(t *testing.T) {
	w := newPerfectWinders(t)
	w.add("O-1", 0, 20, w.day+1) // more than half of the wire
	w.add("O-2", 0, 20, w.day+3)
	short := func() (list []order.Code) {
		for _, code := range []order.Code{"O-1", "O-2"} {
			for _, x := range w.story(code).Wires {
				if x.Short() > 0 {
					list = append(list, code)
					break
				}
			}
		}
		return list
	}
	if got := fmt.Sprint(short()); got != "[O-2]" {
		t.Fatalf("short are %s, want the one due last", got)
	}
	ctx := w.as(workshop.Owner)
	if err := w.Store.InTx(ctx, func(tx workshop.Tx) error { return tx.SetPromised("O-1", w.day+8) }); err != nil {
		t.Fatal(err)
	}
	if _, err := w.Weigh(ctx, workshop.Weigh{Spool: "S-6", Gross: 305 * measure.Gram, Confirmed: true}); err != nil { // 10 g are gone
		t.Fatal(err)
	}
	if got := fmt.Sprint(short()); got != "[O-1 O-2]" {
		t.Errorf("short are %s after wire was lost, want the one held to the last day as well", got)
	}
	w.sound()
}
