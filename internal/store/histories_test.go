package store_test

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"windingroom/internal/costing"
	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/purchase"
	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// TestHistoriesOfTheShelf lives through random histories of everything that happens at the shelf, each taken back at its end, and compares the books after every step with a model that knows only sums.
func TestHistoriesOfTheShelf(t *testing.T) { inHalves(t, liveThrough) }

// inHalves lives through histories on two databases at once: on CI 10 000 of them, and short ones, since what goes wrong mostly does so
// within a few steps.
func inHalves(t *testing.T, live func(t *testing.T, second bool)) {
	if os.Getenv("CI") == "true" {
		setFlag(t, "rapid.checks", "5000")
		setFlag(t, "rapid.steps", "6")
	}
	for _, name := range []string{"first half", "second half"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			live(t, name == "second half")
		})
	}
}

// turn keeps the second half from drawing what the first draws where both have the same seed.
func turn(r *rapid.T, second bool) {
	if second {
		rapid.Uint64().Draw(r, "nothing")
	}
}

func liveThrough(t *testing.T, second bool) {
	db := migrated(t, sqliteAddress(t))
	raw(t, db, "PRAGMA temp_store = memory") // where savepoints are kept
	fill(t, db)
	release(t, db)
	write(t, db, func(tx workshop.Tx) error {
		return tx.SetAllocations("O-1", map[material.WireCode]workshop.Promise{"W-R-12": {Needed: 400_000, Mass: 400_000}, "C-H-16": {Needed: 2_000_000}})
	})
	write(t, db, func(tx workshop.Tx) error {
		sent := bought()
		sent.Status = purchase.PartReceived
		return errors.Join(tx.AddPurchase(sent), tx.AddPurchaseReceipts("P-1", []purchase.Receipt{
			{Spool: "S-2", Wire: "W-R-12", ReceivedOn: monday - 30, Mass: 500_000, Cost: 2_800, Expected: 2_750},
			{Spool: "S-3", Wire: "W-X-40", ReceivedOn: monday - 29, Mass: 300_000}}))
	})
	rapid.Check(t, func(r *rapid.T) {
		// There is one connection that writes. A savepoint on it is a transaction in which statements stay prepared.
		raw(t, db, "SAVEPOINT history")
		defer raw(t, db, "ROLLBACK TO history", "RELEASE history")
		turn(r, second)
		s := newShelf(db)
		r.Repeat(map[string]func(*rapid.T){
			"":           s.check,
			"receive":    s.receive,
			"draw":       s.draw,
			"undo":       s.undo,
			"weigh":      s.weigh,
			"weigh late": s.weighLate,
			"take off":   s.takeOff,
			"quarantine": s.quarantine,
			"reverse":    s.reverse,
			"invoice":    s.invoice,
		})
	})
}

// setFlag sets a flag until the test, its parts included, has ended.
func setFlag(t *testing.T, name, value string) {
	t.Helper()
	before := flag.Lookup(name).Value.String()
	if err := flag.Set(name, value); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = flag.Set(name, before) })
}

// within is a store inside a history: what fails is taken back to where it began.
type within struct{ db *store.DB }

func (w within) Ready(context.Context) error { return nil }

func (w within) Read(_ context.Context, fn func(workshop.Reader) error) error {
	return fn(w.db.ReaderIn(w.db.Raw()))
}

func (w within) InTx(_ context.Context, fn func(workshop.Tx) error) error {
	if err := w.db.Raw().Exec("SAVEPOINT act").Error; err != nil {
		return err
	}
	err := fn(w.db.TxIn(w.db.Raw()))
	if err != nil {
		return errors.Join(err, w.db.Raw().Exec("ROLLBACK TO act").Error)
	}
	return w.db.Raw().Exec("RELEASE act").Error
}

func newShelf(db *store.DB) *shelf {
	s := &shelf{db: db, now: noon, model: map[stock.SpoolCode]*modelSpool{}}
	s.shop = &workshop.Shop{Store: within{db}, Now: func() time.Time { return s.now }, Zone: time.UTC}
	for i, sp := range spools {
		s.order = append(s.order, sp.Code)
		s.model[sp.Code] = &modelSpool{wire: sp.Wire, net: sp.Net(), mass: sp.Net(), tare: sp.Tare, cost: sp.Cost}
		s.moves = append(s.moves, modelMove{id: stock.MovementID(i + 1), spool: sp.Code, kind: stock.Receipt, mass: sp.Net()})
	}
	for _, m := range proposal().Machines {
		for _, b := range m.Batches {
			for i, d := range b.Draws {
				s.model[d.Spool].held = append(s.model[d.Spool].held, held{b.Code, i + 1, d.Mass})
			}
		}
	}
	return s
}

// as lets a role act an hour later.
func (s *shelf) as(role workshop.Role) context.Context {
	s.now = s.now.Add(time.Hour)
	return testkit.As(context.Background(), role)
}

func (s *shelf) pick(r *rapid.T) (stock.SpoolCode, *modelSpool) {
	code := rapid.SampledFrom(s.order).Draw(r, "spool")
	return code, s.model[code]
}

func (s *shelf) check(r *rapid.T) {
	reader := s.db.ReaderIn(s.db.Raw())
	balances, err := reader.Spools()
	if err != nil {
		r.Fatal(err)
	}
	if len(balances) != len(s.model) {
		r.Fatalf("%d spools, the model has %d", len(balances), len(s.model))
	}
	for _, b := range balances {
		m := s.model[b.Code]
		if b.Mass != m.mass || b.Value != m.value() || b.Allocated != m.allocated() || (b.State == stock.Quarantined) != m.quarantined || b.Free() < 0 {
			r.Fatalf("spool %s holds %s at %d, %s allocated, %s; the model says %s at %d, %s, quarantined %v", b.Code, b.Mass, b.Value, b.Allocated,
				b.State, m.mass, m.value(), m.allocated(), m.quarantined)
		}
	}
	broken, err := reader.Discrepancies()
	if err != nil || len(broken) > 0 {
		r.Fatalf("broken: %+v, %v", broken, err)
	}
}

func (s *shelf) receive(r *rapid.T) {
	texts := make([]intake.SpoolText, rapid.IntRange(1, 3).Draw(r, "spools"))
	for i := range texts {
		tare := rapid.Int64Range(0, 300_000).Draw(r, "tare")
		net := rapid.Int64Range(1, 2_000_000).Draw(r, "net")
		texts[i] = intake.SpoolText{Spool: fmt.Sprintf("N-%d", len(s.order)+i), Wire: rapid.SampledFrom([]string{"C-H-16", "w-r-12"}).Draw(r, "wire"), Lot: "L",
			Gross: measure.Mass(tare + net).GramText(), Tare: measure.Mass(tare).GramText()}
	}
	cost, freight := money.Minor(rapid.IntRange(0, 100_000).Draw(r, "cost")), money.Minor(rapid.IntRange(0, 500).Draw(r, "freight"))
	invoice := intake.Invoice{Cost: money.Currency("USD").Text(cost), Freight: money.Currency("USD").Text(freight)}
	ctx := s.as(workshop.Bookkeeper)
	got, err := s.shop.ReceiveDelivery(ctx, intake.SeveralSpools(texts), invoice, "")
	if err != nil {
		r.Fatal(err)
	}
	var sum money.Minor
	for _, b := range got.Spools {
		sum += b.Cost
		s.order = append(s.order, b.Code)
		s.model[b.Code] = &modelSpool{wire: b.Wire, net: b.Net(), tare: b.Tare, cost: b.Cost, received: s.now}
		moves, err := s.db.ReaderIn(s.db.Raw()).Movements(b.Code)
		if err != nil || len(moves) != 1 {
			r.Fatalf("%d receipts, %v", len(moves), err)
		}
		s.happened(moves[0])
	}
	if sum != cost+freight {
		r.Fatalf("the spools cost %d of %d and %d", sum, cost, freight)
	}
	if again, err := s.shop.ReceiveDelivery(ctx, intake.SeveralSpools(texts), invoice, ""); err != nil || !again.Before {
		r.Fatalf("received again: %+v, %v", again, err)
	}
}

// draw winds some of what a batch holds, as a result does.
func (s *shelf) draw(r *rapid.T) {
	code, m := s.pick(r)
	holding := slices.IndexFunc(m.held, func(h held) bool { return h.mass > 0 })
	if holding < 0 {
		r.Skip("nothing is held")
	}
	h := &m.held[holding]
	mass := measure.Mass(rapid.Int64Range(1, int64(h.mass)).Draw(r, "mass"))
	s.as(workshop.Winder)
	err := within{s.db}.InTx(context.Background(), func(tx workshop.Tx) error {
		b, err := tx.Spool(code)
		if err != nil {
			return err
		}
		if err := errors.Join(tx.Allocate(code, -mass), tx.SetDrawAllocated(h.batch, h.draw, h.mass-mass)); err != nil {
			return err
		}
		posted, err := tx.Post([]stock.Movement{{Spool: code, Kind: stock.Draw, Mass: -mass, Cost: b.CostOf(-mass), EffectiveOn: monday, EffectiveAt: s.now,
			PostedAt: s.now, Person: "w", Source: "batch " + string(h.batch)}})
		if err == nil {
			s.happened(posted[0])
		}
		return err
	})
	if err != nil {
		r.Fatal(err)
	}
	h.mass -= mass
}

// undo takes a draw back, as an undone result does; the wire is free then.
func (s *shelf) undo(r *rapid.T) {
	i := slices.IndexFunc(s.moves, func(m modelMove) bool { return m.kind == stock.Draw && !m.reversed })
	if i < 0 {
		r.Skip("nothing was drawn")
	}
	m := &s.moves[i]
	s.as(workshop.Lead)
	err := within{s.db}.InTx(context.Background(), func(tx workshop.Tx) error {
		b, err := tx.Spool(m.spool)
		if err != nil {
			return err
		}
		drawn, err := tx.Movement(m.id)
		if err != nil {
			return err
		}
		back := stock.Movement{Spool: m.spool, Kind: stock.Reversal, Mass: -m.mass, Cost: b.CostBack(drawn), EffectiveOn: monday,
			EffectiveAt: s.now, PostedAt: s.now, Person: "l", Reason: "mistyped", Source: m.source, Reverses: m.id}
		moves := []stock.Movement{back}
		b.Mass, b.Value = b.Mass+back.Mass, b.Value+back.Cost
		if owed := b.CostOf(0); owed != 0 && b.Mass <= b.Net() {
			late := back
			late.Kind, late.Mass, late.Cost, late.Reverses = stock.CostUsed, 0, owed, 0
			moves = append(moves, late)
		}
		posted, err := tx.Post(moves)
		if err == nil {
			m.reversed = true
			s.happened(posted[0])
		}
		return err
	})
	if full := s.model[m.spool]; m.reversed != (err == nil) || err != nil && (!errors.Is(err, stock.ErrTooMuch) || full.mass-m.mass <= full.net) {
		r.Fatalf("undone: %v", err)
	}
}

// reading gives what the scale may show for a spool that holds some mass: mostly about that, sometimes anything.
func reading(r *rapid.T, tare, mass, net measure.Mass) measure.Mass {
	off := rapid.SampledFrom([]measure.Mass{0, 100, 1_000, 20_000, net}).Draw(r, "scatter")
	return max(tare+mass+measure.Mass(rapid.Int64Range(-int64(off), int64(off)).Draw(r, "off")), 0)
}

func (s *shelf) weigh(r *rapid.T) {
	code, m := s.pick(r)
	in := workshop.Weigh{Spool: code, Gross: reading(r, m.tare, m.mass, m.net), Confirmed: rapid.Bool().Draw(r, "confirmed"), Key: fmt.Sprint(len(s.moves))}
	do := rapid.SampledFrom([]func(*workshop.Shop, context.Context, workshop.Weigh) (workshop.Weighed, error){(*workshop.Shop).Weigh, (*workshop.Shop).Count}).Draw(r, "kind")
	ctx := s.as(workshop.Lead)
	w, err := do(s.shop, ctx, in)
	s.weighed(r, m, in, m.mass, w, err)
	if err == nil {
		again, err := do(s.shop, ctx, in)
		if err != nil || again.Movement.ID != w.Movement.ID {
			r.Fatalf("the same key posted movement %d after %d, %v", again.Movement.ID, w.Movement.ID, err)
		}
	}
}

// weighLate posts a weighing as of an earlier instant.
func (s *shelf) weighLate(r *rapid.T) {
	code, m := s.pick(r)
	ctx := s.as(workshop.Lead)
	at := s.now.Add(-time.Duration(rapid.IntRange(1, 20).Draw(r, "half hours ago")) * 30 * time.Minute)
	book := measure.Mass(0)
	for _, move := range s.moves {
		if move.spool == code && !move.at.After(at) {
			book += move.mass
		}
	}
	in := workshop.Weigh{Spool: code, Gross: reading(r, m.tare, book, m.net), At: at, Confirmed: true}
	w, err := s.shop.Weigh(ctx, in)
	if at.Before(m.received) {
		var problems intake.Problems
		if !errors.As(err, &problems) {
			r.Fatalf("weighed before it was received: %v", err)
		}
		return
	}
	later := s.stands(code, at, math.MaxInt64)
	if later == 0 || errors.Is(err, stock.ErrImpossible) {
		s.weighed(r, m, in, book, w, err)
		return
	}
	net := min(max(in.Gross-m.tare, 0), m.net)
	if goes := s.between(code, at, later, net-book); goes != (err == nil) {
		r.Fatalf("weighed %s where the books said %s, and weighed again since: %v", net, book, err)
	} else if !goes {
		return
	}
	if k := w.Weighing; err != nil || k.Net != net || k.Book != book || w.Movement.Mass != net-book {
		r.Fatalf("read %s where the books said %s; kept %+v with a movement of %s, %v", net, book, k, w.Movement.Mass, err)
	}
	s.keptBy(r, code, later, 1)
}

// weighed compares what became of a weighing with what the model makes of it.
func (s *shelf) weighed(r *rapid.T, m *modelSpool, in workshop.Weigh, book measure.Mass, w workshop.Weighed, err error) {
	read := in.Gross - m.tare
	difference := read - book
	switch {
	case errors.Is(err, stock.ErrImpossible):
		if read >= 0 && read <= m.net {
			r.Fatalf("%s of %s is called impossible: %v", read, m.net, err)
		}
	case errors.Is(err, stock.ErrUnconfirmed):
		if in.Confirmed || difference == 0 {
			r.Fatalf("asked for a word that was given, or for nothing: %v", err)
		}
	case errors.Is(err, stock.ErrNegative), errors.Is(err, stock.ErrTooMuch):
		if in.At.IsZero() || m.mass+difference >= 0 && m.mass+difference <= m.net {
			r.Fatalf("it would hold %s of %s: %v", m.mass+difference, m.net, err)
		}
	case err != nil:
		r.Fatal(err)
	default:
		s.posted(r, m, read, book, w)
	}
}

// posted follows a weighing that was posted: the spool holds what was read, and batches lose what is not there, the last first.
func (s *shelf) posted(r *rapid.T, m *modelSpool, read, book measure.Mass, w workshop.Weighed) {
	net := min(max(read, 0), m.net)
	if k := w.Weighing; k.Net != net || k.Book != book || w.Movement.Mass != net-book {
		r.Fatalf("read %s where the books said %s; kept %+v with a movement of %s", net, book, k, w.Movement.Mass)
	}
	s.happened(w.Movement)
	short := max(m.allocated()-m.mass, 0)
	for i := len(m.held) - 1; i >= 0; i-- {
		cut := min(m.held[i].mass, short)
		m.held[i].mass -= cut
		short -= cut
	}
}

func (s *shelf) takeOff(r *rapid.T) {
	code, m := s.pick(r)
	in := workshop.TakeOff{Spool: code, Mass: measure.Mass(rapid.Int64Range(0, int64(m.net)).Draw(r, "mass, or all")), Reason: "x"}
	do := rapid.SampledFrom([]func(*workshop.Shop, context.Context, workshop.TakeOff) (workshop.Posted, error){
		(*workshop.Shop).ReturnToSupplier, (*workshop.Shop).WriteOff}).Draw(r, "kind")
	p, err := do(s.shop, s.as(workshop.Lead), in)
	mass := in.Mass
	if mass == 0 {
		mass = m.mass
	}
	if may := mass > 0 && mass <= m.mass-m.allocated(); may != (err == nil) {
		r.Fatalf("took off %s of %s with %s held: %v", mass, m.mass, m.allocated(), err)
	}
	if err == nil {
		s.happened(p.Movement)
	}
}

func (s *shelf) quarantine(r *rapid.T) {
	code, m := s.pick(r)
	ctx := s.as(workshop.Lead)
	if m.quarantined {
		if _, err := s.shop.ReleaseSpool(ctx, code, "x"); err != nil {
			r.Fatal(err)
		}
		m.quarantined = false
		return
	}
	_, err := s.shop.Quarantine(ctx, code, "x")
	if may := m.allocated() == 0; may != (err == nil) {
		r.Fatalf("quarantined with %s held: %v", m.allocated(), err)
	}
	m.quarantined = err == nil
}

func (s *shelf) reverse(r *rapid.T) {
	i := rapid.IntRange(0, len(s.moves)-1).Draw(r, "movement")
	m := s.moves[i]
	spool := s.model[m.spool]
	gone := []int{i}
	for j, other := range s.moves {
		if other.keeps == m.id {
			gone = append(gone, j)
		}
	}
	later := s.stands(m.spool, m.at, m.id)
	if m.kind == stock.Receipt {
		later = 0
	}
	after := spool.mass
	for _, j := range gone {
		if later == 0 {
			after -= s.moves[j].mass
		}
	}
	may := m.kind != stock.Draw && m.kind != stock.Reversal && m.keeps == 0 && !m.reversed && after >= spool.allocated() && after <= spool.net
	p, err := s.shop.Reverse(s.as(workshop.Lead), m.id, "x")
	if may != (err == nil) {
		r.Fatalf("reversed %+v of a spool with %s of %s, %s held: %v", m, spool.mass, spool.net, spool.allocated(), err)
	}
	if err != nil {
		return
	}
	for _, j := range gone {
		s.moves[j].reversed = true
	}
	if later != 0 {
		s.keptBy(r, m.spool, later, len(gone))
		return
	}
	moves, err := s.db.ReaderIn(s.db.Raw()).Movements(m.spool)
	if err != nil || len(moves) < len(gone) {
		r.Fatalf("%d movements, %v", len(moves), err)
	}
	moves = slices.DeleteFunc(moves, func(m stock.Movement) bool { return m.Kind == stock.CostUsed })
	moves = moves[len(moves)-len(gone):]
	if moves[0].ID != p.Movement.ID {
		r.Fatalf("the first of %+v is not %d", moves, p.Movement.ID)
	}
	for _, back := range moves {
		s.happened(back)
	}
}

// invoice notes an invoice or a credit note: together they land on the spools that came for the purchase, and the books tie out, with all
// that came in money what went out and what is left.
func (s *shelf) invoice(r *rapid.T) {
	amount := money.Minor(rapid.Int64Range(-3_000, 6_000).Draw(r, "amount"))
	part := rapid.IntRange(0, 4).Draw(r, "part") == 0
	ctx := s.as(workshop.Bookkeeper)
	in := workshop.NewInvoice{Purchase: "P-1", Number: fmt.Sprint("R-", len(s.moves), s.now), Amount: money.Currency("USD").Text(amount), On: monday, Part: part, Confirmed: true}
	got, err := s.shop.InvoicePurchase(ctx, in)
	came, e := s.db.ReaderIn(s.db.Raw()).CameFor("P-1")
	if e != nil {
		r.Fatal(e)
	}
	var cost money.Minor
	for _, c := range came {
		cost += c.Cost
	}
	if refused := !part && s.asked+amount < 0 && got.Difference < 0; refused != (err != nil) {
		r.Fatalf("asked %d and then %d: %v", s.asked, amount, err)
	}
	if err != nil {
		return
	}
	s.asked += amount
	if got.Difference != got.OnHand+got.Used || !part && cost != s.asked {
		r.Fatalf("invoices ask for %d, what came cost %d: %+v", s.asked, cost, got)
	}
	var late money.Minor
	for code, m := range s.model {
		b, err := s.db.ReaderIn(s.db.Raw()).Spool(code)
		if err != nil {
			r.Fatal(err)
		}
		late += b.Late - m.late
		m.late = b.Late
	}
	if late != got.Difference {
		r.Fatalf("%d is on spools of %d", late, got.Difference)
	}
	month := costing.PeriodOf(monday)
	err = s.shop.Books(ctx, month-2, month, func(b *workshop.Books) error {
		for _, c := range b.Checks {
			ofResults := strings.HasPrefix(c.What, "orders, finished stock") // the draws of these histories have none
			if c.Difference() != 0 && !ofResults {
				r.Fatalf("%s: %d off", c.What, c.Difference())
			}
		}
		return nil
	})
	if err != nil {
		r.Fatal(err)
	}
}
