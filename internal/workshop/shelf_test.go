package workshop_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"windingroom/internal/intake"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

const g = measure.Gram

// bench is a small shop on 2 March 2026 whose clock can be moved on: two spools of 500 g and 1 kg, wound by hand as batch B-1.
type bench struct {
	*workshop.Shop
	t   testing.TB
	now time.Time
}

var smallShop = fstest.MapFS{
	"wires.csv": {Data: []byte(`wire,alloy,section,size_thou,thickness_thou,usable_end_g,supplier,pack_kg,price_per_kg
MW-10,music-wire,round,10,,5,,2,30.00
PB-12,phosphor-bronze-8,round,12,,10,,2,42.00
`)},
	"spools.csv": {Data: []byte(`spool,wire,lot,received_on,gross_g,tare_g,cost,location
S-1,MW-10,L1,2026-01-10,700,200,15.01,rack 1
S-2,PB-12,L2,2026-02-12,1200,200,42.00,rack 2
`)},
}

func newBench(t testing.TB) *bench {
	t.Helper()
	b := &bench{Shop: testkit.Shop(t), t: t, now: testkit.Morning(t)}
	b.Now = func() time.Time { return b.now }
	if _, err := b.Import(b.as(workshop.Owner), smallShop, false); err != nil {
		t.Fatal(err)
	}
	return b
}

func (b *bench) as(role workshop.Role) context.Context { return testkit.As(b.t.Context(), role) }

// spool gives a spool as it is now, and makes sure that the books are sound.
func (b *bench) spool(code stock.SpoolCode) stock.Balance {
	b.t.Helper()
	broken, err := b.Verify(b.as(workshop.Winder))
	if err != nil || len(broken) > 0 {
		b.t.Errorf("broken: %v, %v", broken, err)
	}
	h, err := b.Movements(b.as(workshop.Winder), code)
	if err != nil {
		b.t.Fatal(err)
	}
	return h.Spool
}

// draw posts a draw at an instant as a batch's result does.
func (b *bench) draw(code stock.SpoolCode, source string, mass measure.Mass, at time.Time) stock.MovementID {
	b.t.Helper()
	var id stock.MovementID
	err := b.Store.InTx(b.t.Context(), func(tx workshop.Tx) error {
		s, err := tx.Spool(code)
		if err != nil {
			return err
		}
		posted, err := tx.Post([]stock.Movement{{Spool: code, Kind: stock.Draw, Mass: -mass, Cost: s.CostOf(-mass), EffectiveOn: testkit.Day(b.t),
			EffectiveAt: at, PostedAt: b.now, Person: "test", Source: source}})
		if err == nil {
			id = posted[0].ID
		}
		return err
	})
	if err != nil {
		b.t.Fatal(err)
	}
	return id
}

// weigh weighs S-1, which has a tare of 200 g, as a winder.
func (b *bench) weigh(gross measure.Mass, change ...func(*workshop.Weigh)) (workshop.Weighed, error) {
	in := workshop.Weigh{Spool: "S-1", Gross: gross}
	for _, c := range change {
		c(&in)
	}
	return b.Weigh(b.as(workshop.Winder), in)
}

func TestWeighRebasesTheSpool(t *testing.T) {
	tests := []struct {
		name     string
		drawn    measure.Mass // since it was received, by nobody's batch
		gross    measure.Mass
		mass     measure.Mass
		noise    bool
		surprise bool // refused without a word, posted with one
		never    bool
	}{
		{name: "as the books say", gross: 700 * g, mass: 500 * g, noise: true},
		{name: "a step of the scale is noise", gross: 700*g - 100, mass: 500*g - 100, noise: true},
		{name: "a draw makes it less certain", drawn: 100 * g, gross: 601 * g, mass: 401 * g, noise: true},
		{name: "a real loss within the limit", gross: 695 * g, mass: 495 * g},
		{name: "much is gone", gross: 600 * g, mass: 400 * g, surprise: true},
		{name: "wire appears", drawn: 100 * g, gross: 620 * g, mass: 420 * g, surprise: true},
		{name: "empty", drawn: 495 * g, gross: 200 * g, mass: 0, noise: true},
		{name: "fuller than received", gross: 710 * g, never: true},
		{name: "lighter than its tare", gross: 190 * g, never: true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			b := newBench(t)
			if tt.drawn > 0 {
				b.draw("S-1", "by hand", tt.drawn, b.now)
			}
			before := b.spool("S-1")
			w, err := b.weigh(tt.gross)
			confirmed := func(in *workshop.Weigh) { in.Confirmed = true }
			if tt.surprise || tt.never {
				want := stock.ErrUnconfirmed
				if tt.never {
					want = stock.ErrImpossible
				}
				if !errors.Is(err, want) || b.spool("S-1") != before {
					t.Fatalf("got %v, want %v and nothing posted", err, want)
				}
				if _, err := b.weigh(tt.gross, confirmed); tt.surprise && !errors.Is(err, workshop.ErrForbidden) {
					t.Errorf("a winder's word: %v", err)
				}
				w, err = b.Weigh(b.as(workshop.Lead), workshop.Weigh{Spool: "s-1", Gross: tt.gross, Confirmed: true})
			}
			if tt.never {
				if !errors.Is(err, stock.ErrImpossible) || b.spool("S-1") != before {
					t.Errorf("a lead's word: %v", err)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			after := b.spool("S-1")
			k := w.Weighing
			if after.Mass != tt.mass || w.Spool != after || k.Net != tt.mass || k.Book != before.Mass || k.Noise != tt.noise {
				t.Errorf("holds %s; weighing %+v", after.Mass, k)
			}
			if m := w.Movement; m.Kind != stock.WeighBack || m.Mass != tt.mass-before.Mass || !m.EffectiveAt.Equal(b.now) || m.Spool != "S-1" {
				t.Errorf("posted %+v", m)
			}
			if (k.Surprise != stock.NoSurprise) != tt.surprise || w.Why == "" {
				t.Errorf("surprise %q: %s", k.Surprise, w.Why)
			}
			if again, err := b.weigh(tt.gross); err != nil || again.Movement.Mass != 0 || !again.Weighing.Noise {
				t.Errorf("weighed again it differs by %s, %v", again.Movement.Mass, err)
			}
		})
	}
}

func TestASecondReadingConfirms(t *testing.T) {
	b := newBench(t)
	second := func(m measure.Mass) func(*workshop.Weigh) { return func(in *workshop.Weigh) { in.Second = &m } }
	var problems intake.Problems
	if _, err := b.weigh(600*g, second(600*g+101)); !errors.As(err, &problems) || problems[0].Column != "second_g" {
		t.Errorf("a second reading that does not repeat the first: %v", err)
	}
	if w, err := b.weigh(600*g, second(600*g+100)); err != nil || w.Weighing.Surprise != stock.MuchGone || b.spool("S-1").Mass != 400*g {
		t.Errorf("a second reading within a step: %v", err)
	}
}

// Yesterday's weighing is judged by yesterday's books, and moves today's balance.
func TestWeighAsOfAnEarlierTime(t *testing.T) {
	b := newBench(t)
	evening := b.now
	b.draw("S-1", "by hand", 10*g, evening.Add(-2*time.Hour))
	b.now = b.now.Add(24 * time.Hour)
	b.draw("S-1", "by hand", 50*g, b.now)
	at := func(at time.Time) func(*workshop.Weigh) { return func(in *workshop.Weigh) { in.At = at } }
	w, err := b.weigh(688*g, at(evening))
	if err != nil {
		t.Fatal(err)
	}
	if w.Weighing.Book != 490*g || w.Weighing.Net != 488*g || w.Movement.Mass != -2*g || !w.Movement.EffectiveAt.Equal(evening) || w.Movement.EffectiveOn != testkit.Day(t) {
		t.Errorf("posted %+v of %+v", w.Movement, w.Weighing)
	}
	if now := b.spool("S-1"); now.Mass != 438*g {
		t.Errorf("holds %s today, want 438 g", now.Mass)
	}
	var problems intake.Problems
	for name, instant := range map[string]time.Time{"the future": b.now.Add(time.Second), "before it was received": time.Date(2026, 1, 9, 23, 59, 59, 0, time.UTC)} {
		if _, err := b.weigh(688*g, at(instant)); !errors.As(err, &problems) || problems[0].Column != "at" {
			t.Errorf("%s: %v", name, err)
		}
	}
	// 20 g at noon of the first day cannot be: 50 g were drawn since.
	if _, err := b.weigh(220*g, at(evening), func(in *workshop.Weigh) { in.Second = &in.Gross }); !errors.Is(err, stock.ErrNegative) {
		t.Errorf("less than was drawn since: %v", err)
	}
	if now := b.spool("S-1"); now.Mass != 438*g {
		t.Errorf("holds %s after what was refused", now.Mass)
	}
}

// Results may be posted for a plan whose day is still to come: a weighing now comes after them.
func TestWeighAfterWhatIsPostedAhead(t *testing.T) {
	b := newBench(t)
	b.draw("S-1", "by hand", 100*g, b.now.Add(72*time.Hour))
	w, err := b.weigh(600 * g)
	if err != nil || w.Movement.Mass != 0 || !w.Movement.EffectiveAt.Equal(b.now.Add(72*time.Hour)) {
		t.Errorf("posted %+v, %v", w.Movement, err)
	}
	if w, err = b.weigh(600*g - 500); err != nil || w.Weighing.Uncertainty != 116 {
		t.Errorf("the draw counts although it was weighed since: %+v, %v", w.Weighing, err)
	}
}

func TestWeighOncePerKey(t *testing.T) {
	b := newBench(t)
	key := func(in *workshop.Weigh) { in.Key = "k" }
	first, err := b.weigh(695*g, key)
	if err != nil {
		t.Fatal(err)
	}
	again, err := b.weigh(695*g, key)
	if err != nil || again.Movement.ID != first.Movement.ID || again.Weighing.Net != 495*g || b.spool("S-1").Mass != 495*g {
		t.Errorf("the same key posted %+v, %v", again.Movement, err)
	}
	if _, err := b.weigh(694*g, key); !errors.Is(err, workshop.ErrExists) || !strings.Contains(err.Error(), "weighed 695 g") {
		t.Errorf("the same key for another reading: %v", err)
	}
	for _, bad := range []string{"a b", "ö", strings.Repeat("k", 256)} {
		var problems intake.Problems
		if _, err := b.weigh(695*g, func(in *workshop.Weigh) { in.Key = bad }); !errors.As(err, &problems) || problems[0].Column != "key" {
			t.Errorf("key %.9q: %v", bad, err)
		}
	}
	if _, err := b.weigh(1195*g, key, func(in *workshop.Weigh) { in.Spool = "S-2" }); !errors.Is(err, workshop.ErrExists) {
		t.Errorf("the same key for another spool: %v", err)
	}
	if w, err := b.Weigh(b.as(workshop.Lead), workshop.Weigh{Spool: "S-1", Gross: 695 * g, Key: "k"}); err != nil || w.Movement.ID == first.Movement.ID {
		t.Errorf("the same key of another person: %+v, %v", w.Movement, err)
	}
}

func TestCount(t *testing.T) {
	b := newBench(t)
	w, err := b.Count(b.as(workshop.Bookkeeper), workshop.Weigh{Spool: "S-1", Gross: 695 * g, Note: "stock-take"})
	if err != nil || w.Movement.Kind != stock.CountDifference || w.Movement.Reason != "stock-take" || w.Weighing.Note != "stock-take" || b.spool("S-1").Mass != 495*g {
		t.Errorf("counted %+v, %v", w.Movement, err)
	}
	if _, err := b.Weigh(b.as(workshop.Bookkeeper), workshop.Weigh{Spool: "S-1", Gross: 695 * g}); !errors.Is(err, workshop.ErrForbidden) {
		t.Errorf("a bookkeeper at the scale: %v", err)
	}
}

func TestReturnAndWriteOff(t *testing.T) {
	b := newBench(t)
	lead, keeper := b.as(workshop.Lead), b.as(workshop.Bookkeeper)
	part := workshop.TakeOff{Spool: "S-1", Mass: 100 * g, Reason: "kinked", Key: "k"}
	p, err := b.ReturnToSupplier(keeper, part)
	if err != nil || p.Movement.Kind != stock.ReturnToSupplier || p.Movement.Cost != -300 || p.Spool.Mass != 400*g || p.Spool.Value != 1201 {
		t.Fatalf("returned %+v, %v", p, err)
	}
	if again, err := b.ReturnToSupplier(keeper, part); err != nil || again.Movement.ID != p.Movement.ID || b.spool("S-1").Mass != 400*g {
		t.Errorf("the same key returned %+v, %v", again.Movement, err)
	}
	other := part
	other.Mass = 99 * g
	if _, err := b.ReturnToSupplier(keeper, other); !errors.Is(err, workshop.ErrExists) {
		t.Errorf("the same key for another mass: %v", err)
	}
	if p, err = b.WriteOff(lead, workshop.TakeOff{Spool: "S-1", Reason: "rust"}); err != nil || p.Movement.Kind != stock.WriteOff || p.Spool.Mass != 0 || p.Spool.Value != 0 {
		t.Errorf("wrote off %+v, %v", p, err)
	}
	var problems intake.Problems
	for name, tt := range map[string]struct {
		ctx  context.Context
		in   workshop.TakeOff
		want error // nil for a field at fault
	}{
		"what is not there":   {lead, workshop.TakeOff{Spool: "S-2", Mass: 1000*g + 1, Reason: "x"}, stock.ErrNegative},
		"from an empty spool": {lead, workshop.TakeOff{Spool: "S-1", Reason: "x"}, stock.ErrNegative},
		"from no spool":       {lead, workshop.TakeOff{Spool: "S-9", Reason: "x"}, workshop.ErrNotFound},
		"without a reason":    {lead, workshop.TakeOff{Spool: "S-2", Reason: "  "}, nil},
		"less than nothing":   {lead, workshop.TakeOff{Spool: "S-2", Mass: -1, Reason: "x"}, nil},
		"as a winder":         {b.as(workshop.Winder), workshop.TakeOff{Spool: "S-2", Reason: "x"}, workshop.ErrForbidden},
	} {
		if _, err := b.WriteOff(tt.ctx, tt.in); tt.want == nil && !errors.As(err, &problems) || tt.want != nil && !errors.Is(err, tt.want) {
			t.Errorf("%s: %v, want %v", name, err, tt.want)
		}
	}
	if b.spool("S-2").Mass != 1000*g {
		t.Error("something refused was posted")
	}
}

func TestReverse(t *testing.T) {
	b := newBench(t)
	keeper := b.as(workshop.Bookkeeper)
	w, err := b.weigh(695 * g)
	if err != nil {
		t.Fatal(err)
	}
	p, err := b.Reverse(keeper, w.Movement.ID, "read the wrong scale")
	if err != nil || p.Movement.Kind != stock.Reversal || p.Movement.Reverses != w.Movement.ID || p.Spool.Mass != 500*g || p.Spool.Value != 1501 {
		t.Fatalf("reversed %+v, %v", p, err)
	}
	if list, err := b.ToWeigh(keeper, testkit.Day(t)); err != nil || len(list.Rows) > 0 && !list.Rows[0].WeighedOn.IsZero() {
		t.Errorf("a weighing taken back counts as one: %+v, %v", list.Rows, err)
	}
	drawn := b.draw("S-1", "by hand", g, b.now)
	var problems intake.Problems
	for name, id := range map[string]stock.MovementID{"a draw": drawn, "a reversal": p.Movement.ID} {
		if _, err := b.Reverse(keeper, id, "x"); !errors.As(err, &problems) || problems[0].Column != "movement" {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := b.Reverse(keeper, w.Movement.ID, "x"); !errors.Is(err, workshop.ErrExists) {
		t.Errorf("twice: %v", err)
	}
	if _, err := b.Reverse(keeper, 999, "x"); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("no movement: %v", err)
	}
	if _, err := b.Reverse(keeper, 1, "received twice"); !errors.Is(err, stock.ErrNegative) {
		t.Errorf("a receipt of which wire was drawn: %v", err)
	}
	if p, err := b.Reverse(keeper, 2, "received twice"); err != nil || p.Spool.Mass != 0 || p.Spool.Value != 0 || b.spool("S-2").Mass != 0 {
		t.Errorf("a receipt: %+v, %v", p, err)
	}
}

func TestPlaceQuarantineRelease(t *testing.T) {
	b := newBench(t)
	winder, lead := b.as(workshop.Winder), b.as(workshop.Lead)
	if now, err := b.Place(winder, "s-1", " bench 2 "); err != nil || now.Spool.Location != "bench 2" || now.Currency != "USD" {
		t.Errorf("placed %+v, %v", now, err)
	}
	if _, err := b.Quarantine(winder, "S-1", "rust"); !errors.Is(err, workshop.ErrForbidden) {
		t.Errorf("quarantined by a winder: %v", err)
	}
	for range 2 { // the second changes nothing
		if now, err := b.Quarantine(lead, "S-1", "rust"); err != nil || now.Spool.State != stock.Quarantined || now.Spool.Drawable() != 0 {
			t.Errorf("quarantined %+v, %v", now, err)
		}
	}
	if w, err := b.weigh(695 * g); err != nil || w.Spool.State != stock.Quarantined {
		t.Errorf("weighed in quarantine: %v", err)
	}
	if now, err := b.ReleaseSpool(lead, "S-1", "cleaned"); err != nil || now.Spool.Drawable() != 495*g {
		t.Errorf("released %+v, %v", now, err)
	}
	var problems intake.Problems
	for name, err := range map[string]error{
		"no place":  second(b.Place(winder, "S-1", " ")),
		"no reason": second(b.ReleaseSpool(lead, "S-1", "")),
		"far away":  second(b.Place(winder, "S-1", strings.Repeat("x", 1001))),
	} {
		if !errors.As(err, &problems) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := second(b.Place(winder, "S-9", "x")); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("no spool: %v", err)
	}
}

func second[T any](_ T, err error) error { return err }

func TestRemnants(t *testing.T) {
	b := newBench(t)
	b.draw("S-1", "by hand", 495*g+1, b.now)
	b.draw("S-2", "by hand", 990*g, b.now)
	list, err := b.Remnants(b.as(workshop.Winder))
	if err != nil || len(list.Spools) != 1 || list.Spools[0].Code != "S-1" || list.Spools[0].Alloy != "music-wire" || len(list.Alloys) != 1 ||
		list.Alloys[0].Mass != 5*g-1 || list.Alloys[0].Value != list.Spools[0].Value {
		t.Errorf("remnants %+v, %v", list, err)
	}
	b.draw("S-1", "by hand", 5*g-1, b.now)
	if list, err := b.Remnants(b.as(workshop.Winder)); err != nil || len(list.Spools) != 0 {
		t.Errorf("an empty spool is no remnant: %+v, %v", list, err)
	}
}

func TestTares(t *testing.T) {
	b := newBench(t)
	winder := b.as(workshop.Winder)
	for i, tt := range []struct {
		mass measure.Mass
		key  string
		want measure.Mass
		n    int
		err  error
	}{
		{200 * g, "k", 200 * g, 1, nil},
		{200 * g, "k", 200 * g, 1, nil}, // the same key
		{204 * g, "", 202 * g, 2, nil},
		{300 * g, "", 0, 2, stock.ErrTare},
		{0, "", 0, 2, stock.ErrTare},
	} {
		learned, err := b.LearnTare(winder, "DIN-160", tt.mass, tt.key)
		if !errors.Is(err, tt.err) || err == nil && (learned.Tare != tt.want || learned.Weighed != tt.n) {
			t.Errorf("%d: learned %+v, %v", i, learned, err)
		}
	}
	if types, err := b.SpoolTypes(winder); err != nil || len(types) != 1 || types[0].Weighed != 2 || types[0].Spread() == 0 {
		t.Errorf("types %+v, %v", types, err)
	}
	var problems intake.Problems
	if _, err := b.LearnTare(winder, "a type", 200*g, ""); !errors.As(err, &problems) {
		t.Errorf("a name with a blank: %v", err)
	}
	// A spool that took its tare from its type is less certain than one that was weighed empty itself.
	spool := intake.SpoolText{Spool: "S-3", Wire: "MW-10", Lot: "L3", Gross: "702", Cost: "15", SpoolType: "din-160"}
	r, err := b.ReceiveSpool(b.as(workshop.Lead), intake.OneSpool(spool))
	if err != nil || r.Spools[0].Tare != 202*g || r.Spools[0].Type != "DIN-160" || r.Spools[0].ReceivedOn != testkit.Day(t) {
		t.Fatalf("received %+v, %v", r, err)
	}
	if w, err := b.weigh(700*g, func(in *workshop.Weigh) { in.Spool = "S-3" }); err != nil || !w.Weighing.Noise || w.Weighing.Uncertainty <= 2*g {
		t.Errorf("2 g off with a tare by type: %+v, %v", w.Weighing, err)
	}
	if _, err := b.LearnTare(winder, "DIN-160", 212*g, ""); err != nil {
		t.Fatal(err)
	}
	if again, err := b.ReceiveSpool(b.as(workshop.Lead), intake.OneSpool(spool)); err != nil || !again.Before {
		t.Errorf("the same receipt after the type has learned: %+v, %v", again, err)
	}
}

const delivered = `spool,wire,lot,gross_g,tare_g,received_on
D-1,MW-10,L7,1200,200,2026-03-01
D-2,mw-10,L7,700,200,2026-03-01
D-3,PB-12,L8,1700,200,2026-03-01
`

func TestReceiveDelivery(t *testing.T) {
	b := newBench(t)
	receive := func(text, cost, freight string) (workshop.Received, error) {
		d, _ := intake.ReadDelivery(strings.NewReader(text), "delivery.csv")
		return b.ReceiveDelivery(b.as(workshop.Bookkeeper), d, intake.Invoice{Cost: cost, Freight: freight}, "")
	}
	r, err := receive(delivered, "100.00", "0.01")
	if err != nil {
		t.Fatal(err)
	}
	// 100.00 over 1000, 500 and 1500 g is 33.33⅓, 16.66⅔ and 50.00: the cent left over goes to the largest remainder. So does
	// the cent of freight: to the half of it.
	var costs []money.Minor
	for _, s := range r.Spools {
		costs = append(costs, s.Cost)
	}
	if fmt.Sprint(costs) != "[3333 1667 5001]" || r.Delivery != "D260302-1" || r.Cost != 10000 || r.Freight != 1 || r.Before || r.Spools[1].Wire != "MW-10" {
		t.Errorf("received %+v with costs %v", r, costs)
	}
	if s := b.spool("D-3"); s.Mass != 1500*g || s.Value != 5001 {
		t.Errorf("D-3 reads %+v", s)
	}
	if again, err := receive(delivered, "100.00", "0.01"); err != nil || !again.Before || len(again.Spools) != 3 || b.spool("D-1").Mass != 1000*g {
		t.Errorf("the same again: %+v, %v", again, err)
	}
	if r, err := receive(strings.NewReplacer("D-", "E-").Replace(delivered), "1", ""); err != nil || r.Delivery != "D260302-2" {
		t.Errorf("the next delivery is %q, %v", r.Delivery, err)
	}
	before, err := b.Stock(b.as(workshop.Winder), 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct{ name, text, cost, freight, says string }{
		{"other cost", delivered, "100.01", "0.01", "delivery.csv:2:cost: spool D-1 is already here with 33.33"},
		{"in part here", delivered + "D-4,PB-12,L8,1700,200,\n", "100", "", "delivery.csv:2:spool: spool D-1 is already here and others of this delivery are not"},
		{"no cost", "spool,wire,lot,gross_g,tare_g\nF-1,MW-10,L,300,200\n", "", "", "delivery.csv:2:cost: is needed"},
		{"two costs", "spool,wire,lot,gross_g,tare_g,cost\nF-1,MW-10,L,300,200,4\n", "4", "", "delivery.csv:2:cost: is given for this spool and for the whole delivery"},
		{"twice", "spool,wire,lot,gross_g,tare_g\nF-1,MW-10,L,300,200\nf-1,MW-10,L,300,200\n", "4", "", "delivery.csv:3:spool: spool f-1 is in this delivery twice"},
		{"unknown wire", "spool,wire,lot,gross_g,tare_g\nF-1,XX,L,300,200\n", "4", "", "delivery.csv:2:wire: wire XX is unknown"},
		{"unknown type", "spool,wire,lot,gross_g,spool_type\nF-1,MW-10,L,300,none\n", "4", "", "delivery.csv:2:spool_type: spool type none is unknown"},
		{"no tare", "spool,wire,lot,gross_g\nF-1,MW-10,L,300\n", "4", "", "delivery.csv:2:tare_g: is needed"},
		{"no wire on it", "spool,wire,lot,gross_g,tare_g\nF-1,MW-10,L,300,300\n", "4", "", "delivery.csv:2:gross_g: 300 is the tare"},
		{"negative cost", "spool,wire,lot,gross_g,tare_g,cost\nF-1,MW-10,L,300,200,-4\n", "", "", "delivery.csv:2:cost: -4 must not be negative"},
		{"negative freight", "spool,wire,lot,gross_g,tare_g,cost\nF-1,MW-10,L,300,200,4\n", "", "-1", "freight: -1 must not be negative"},
		{"odd cents", "spool,wire,lot,gross_g,tare_g\nF-1,MW-10,L,300,200\n", "4.001", "", `cost: "4.001" has more than the 2 decimals of USD`},
		{"no spools", "spool,wire,lot,gross_g\n", "4", "", "delivery.csv:1:spool: the file has no spools"},
		{"no file to speak of", "", "4", "", "delivery.csv:1:spool: the header line is missing"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := receive(tt.text, tt.cost, tt.freight)
			var problems intake.Problems
			if !errors.As(err, &problems) || !strings.Contains(err.Error(), tt.says) {
				t.Errorf("got %v, want %s", err, tt.says)
			}
		})
	}
	if after, err := b.Stock(b.as(workshop.Winder), 0); err != nil || len(after.Spools) != len(before.Spools) {
		t.Errorf("%d spools after refusals, %d before, %v", len(after.Spools), len(before.Spools), err)
	}
	if _, err := b.ReceiveSpool(b.as(workshop.Winder), intake.OneSpool(intake.SpoolText{})); !errors.Is(err, workshop.ErrForbidden) {
		t.Errorf("received by a winder: %v", err)
	}
}

func TestAccuracy(t *testing.T) {
	b := newBench(t)
	if _, err := b.weigh(700 * g); err != nil { // a hit
		t.Fatal(err)
	}
	b.now = b.now.AddDate(0, 1, 0)
	if _, err := b.Count(b.as(workshop.Lead), workshop.Weigh{Spool: "S-2", Gross: 1100 * g, Confirmed: true}); err != nil { // 10 % gone
		t.Fatal(err)
	}
	day := testkit.Day(t)
	a, err := b.Accuracy(b.as(workshop.Bookkeeper), day, day+60)
	if err != nil || a.All != (stock.Accuracy{Hits: 1, Records: 2}) || len(a.Months) != 2 || a.Months[0].Month != "2026-03" || a.Months[0].Hits != 1 ||
		a.Months[1].Hits != 0 || len(a.Classes) != 3 {
		t.Errorf("accuracy %+v, %v", a, err)
	}
	if a, err := b.Accuracy(b.as(workshop.Bookkeeper), day, day); err != nil || a.All.Records != 1 {
		t.Errorf("of the first day %+v, %v", a, err)
	}
	if _, err := b.Accuracy(b.as(workshop.Bookkeeper), day, day-1); err == nil {
		t.Error("backwards")
	}
}

func TestToWeigh(t *testing.T) {
	b := newBench(t)
	list, err := b.ToWeigh(b.as(workshop.Winder), testkit.Day(t))
	if err != nil || len(list.Rows) != 0 {
		t.Fatalf("nothing was drawn, and to weigh are %+v, %v", list.Rows, err)
	}
	b.draw("S-2", "by hand", 100*g, b.now)
	list, err = b.ToWeigh(b.as(workshop.Winder), testkit.Day(t))
	if err != nil || len(list.Rows) != 1 || list.Rows[0].Spool != "S-2" || list.Rows[0].Class != stock.ClassA || list.Rows[0].Reasons[0] != stock.NeverWeighed ||
		list.Rows[0].Uncertainty < 3*g {
		t.Errorf("to weigh are %+v, %v", list.Rows, err)
	}
	if _, err := b.weigh(1100*g, func(in *workshop.Weigh) { in.Spool = "S-2" }); err != nil {
		t.Fatal(err)
	}
	if list, err = b.ToWeigh(b.as(workshop.Winder), testkit.Day(t)); err != nil || len(list.Rows) != 0 {
		t.Errorf("weighed, and still to weigh are %+v, %v", list.Rows, err)
	}
}
