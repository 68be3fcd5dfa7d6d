package workshop_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// released is the invented scenario's shop with its day released, and a spool of which at least three batches hold wire.
func released(t testing.TB) (*bench, stock.Balance, []workshop.Holder) {
	t.Helper()
	b := &bench{Shop: testkit.ScenarioShop(t), t: t, now: testkit.Morning(t)}
	lead := b.as(workshop.Lead)
	for _, do := range []func() error{
		func() error { return second(b.ProposeDay(lead, testkit.Day(t))) },
		func() error { return second(b.ReleaseDay(lead, testkit.Day(t))) },
	} {
		if err := do(); err != nil {
			t.Fatal(err)
		}
	}
	list, err := b.Stock(lead, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range list.Spools {
		if h := b.holders(s.Code); len(h) >= 3 && s.Free() > 0 && s.Net() == s.Mass {
			return b, s, h
		}
	}
	t.Fatal("no spool is held by three batches")
	return nil, stock.Balance{}, nil
}

func (b *bench) holders(code stock.SpoolCode) (holders []workshop.Holder) {
	b.t.Helper()
	err := b.Store.Read(b.t.Context(), func(r workshop.Reader) (err error) {
		holders, err = r.Holders(code)
		return err
	})
	if err != nil {
		b.t.Fatal(err)
	}
	return holders
}

func TestHeldWireStays(t *testing.T) {
	b, s, holders := released(t)
	lead := b.as(workshop.Lead)
	for name, err := range map[string]error{
		"quarantined":          second(b.Quarantine(lead, s.Code, "rust")),
		"returned":             second(b.ReturnToSupplier(lead, workshop.TakeOff{Spool: s.Code, Reason: "kinked"})),
		"written off":          second(b.WriteOff(lead, workshop.TakeOff{Spool: s.Code, Mass: s.Free() + 1, Reason: "lost"})),
		"corrected, a receipt": second(b.Reverse(lead, b.receipt(s.Code), "never came")),
	} {
		if !errors.Is(err, stock.ErrBelow) || !strings.Contains(err.Error(), string(holders[0].Batch)) || !strings.Contains(err.Error(), string(holders[2].Batch)) {
			t.Errorf("%s: %v, want a refusal that names batches %s and %s", name, err, holders[0].Batch, holders[2].Batch)
		}
	}
	if b.spool(s.Code) != s {
		t.Error("something refused was done")
	}
	if p, err := b.WriteOff(lead, workshop.TakeOff{Spool: s.Code, Mass: s.Free(), Reason: "lost"}); err != nil || p.Spool.Free() != 0 || p.Spool.Allocated != s.Allocated {
		t.Errorf("all that is free: %+v, %v", p, err)
	}
	b.spool(s.Code)
}

func (b *bench) receipt(code stock.SpoolCode) stock.MovementID {
	b.t.Helper()
	h, err := b.Movements(b.as(workshop.Lead), code)
	if err != nil {
		b.t.Fatal(err)
	}
	return h.Movements[0].ID
}

// A spool that holds less than was promised takes it from the batches that are wound last.
func TestWeighingCutsTheLastBatches(t *testing.T) {
	b, s, before := released(t)
	last, middle := before[len(before)-1], before[len(before)-2]
	short := last.Mass + middle.Mass/2
	w, err := b.Weigh(b.as(workshop.Lead), workshop.Weigh{Spool: s.Code, Gross: s.Tare + s.Allocated - short, Confirmed: true})
	if err != nil {
		t.Fatal(err)
	}
	want := []workshop.ShortCut{{Batch: last.Batch, Mass: last.Mass}, {Batch: middle.Batch, Mass: middle.Mass / 2}}
	if !slices.Equal(w.Short, want) {
		t.Errorf("cut %+v, want %+v", w.Short, want)
	}
	now := b.spool(s.Code)
	if now.Mass != s.Allocated-short || now.Free() != 0 {
		t.Errorf("holds %s, %s free, want %s and nothing", now.Mass, now.Free(), s.Allocated-short)
	}
	after := slices.Clone(before[:len(before)-1])
	after[len(after)-1].Mass -= middle.Mass / 2
	if got := b.holders(s.Code); !slices.Equal(got, after) {
		t.Errorf("still held: %+v, want %+v", got, after)
	}
}

// What a weighing misses is charged to the batches that drew on the spool, in proportion; noise to nobody.
func TestSharesOfBatches(t *testing.T) {
	b, s, holders := released(t)
	if err := b.Store.InTx(t.Context(), func(tx workshop.Tx) error { // the batches are wound: their wire is theirs no more
		for _, h := range holders {
			if err := errors.Join(tx.SetDrawAllocated(h.Batch, h.Number, 0), tx.Allocate(s.Code, -h.Mass)); err != nil {
				return err
			}
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	first, other := holders[0].Batch, holders[1].Batch
	const unit = 4 * measure.Gram
	b.draw(s.Code, "batch "+string(first), 3*unit, b.now)
	b.draw(s.Code, "batch "+string(other), unit, b.now)
	gross := s.Tare + s.Mass - 4*unit
	loss := 800 * measure.Milligram // 16 g at 1.5 % is 0.48 g, k = 2; 5 % and the uncertainty on top nobody is asked about
	w, err := b.Weigh(b.as(workshop.Winder), workshop.Weigh{Spool: s.Code, Gross: gross - loss})
	if err != nil {
		t.Fatal(err)
	}
	want := []stock.Share{{Source: string(first), Mass: -600}, {Source: string(other), Mass: -200}}
	if w.Weighing.Noise || !slices.Equal(w.Weighing.Shares, want) {
		t.Errorf("shares %+v, want %+v", w.Weighing, want)
	}
	// They bear it once: what is missing now is nobody's, and within the scale's step it is noise.
	w, err = b.Weigh(b.as(workshop.Winder), workshop.Weigh{Spool: s.Code, Gross: gross - loss - 100})
	if err != nil || !w.Weighing.Noise || !slices.Equal(w.Weighing.Shares, []stock.Share{{Mass: -100}}) {
		t.Errorf("weighed again: %+v, %v", w.Weighing, err)
	}
	b.spool(s.Code)
}

// What leaves the shelf, or may not be drawn any more, is taken from the orders that were promised it; what comes in is given to
// those that are short.
func TestOrdersGainAndLoseWithTheShelf(t *testing.T) {
	b := &bench{Shop: testkit.ScenarioShop(t), t: t, now: testkit.Morning(t)}
	lead := b.as(workshop.Lead)
	held := func(wire material.WireCode) workshop.Held {
		t.Helper()
		var held map[material.WireCode]workshop.Held
		err := b.Store.Read(t.Context(), func(r workshop.Reader) (err error) {
			held, err = r.Held(wire)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		return held[wire]
	}
	list, err := b.Stock(lead, 0)
	if err != nil {
		t.Fatal(err)
	}
	var wire material.WireCode
	for _, s := range list.Spools {
		if h := held(s.Wire); h.Mass > 0 && h.Short == 0 {
			wire = s.Wire
			break
		}
	}
	whole := held(wire)
	var gone []stock.SpoolCode
	for _, s := range list.Spools {
		if s.Wire == wire && s.Mass > 0 {
			gone = append(gone, s.Code)
			if _, err := b.Quarantine(lead, s.Code, "rust"); err != nil {
				t.Fatal(err)
			}
			b.spool(s.Code)
		}
	}
	if h := held(wire); h.Mass != 0 || h.Short != whole.Mass {
		t.Errorf("with all of %s in quarantine orders hold %+v, want nothing of %s", wire, h, whole.Mass)
	}
	spool := intake.SpoolText{Spool: "NEW-1", Wire: string(wire), Lot: "L", Gross: "201", Tare: "100", Cost: "5"}
	if _, err := b.ReceiveSpool(lead, intake.OneSpool(spool)); err != nil {
		t.Fatal(err)
	}
	if h := held(wire); h.Mass == 0 || h.Mass+h.Short != whole.Mass {
		t.Errorf("with 101 g received orders hold %+v of %s", h, whole.Mass)
	}
	if _, err := b.WriteOff(lead, workshop.TakeOff{Spool: "NEW-1", Reason: "lost"}); err != nil || held(wire).Mass != 0 {
		t.Errorf("with that lost orders hold %+v, %v", held(wire), err)
	}
	for _, code := range gone {
		if _, err := b.ReleaseSpool(lead, code, "cleaned"); err != nil {
			t.Fatal(err)
		}
		b.spool(code)
	}
	if h := held(wire); h != whole {
		t.Errorf("with all of it back orders hold %+v, want %+v", h, whole)
	}
}
