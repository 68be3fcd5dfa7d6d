package stock

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/measure"
)

const g = measure.Gram

// onScale is a spool of 1 000 g received on a tare of 200 g, on a scale of 0.1 g: received and weighed again, ±0.117 g (k = 2).
func onScale(book, gross measure.Mass, drawn ...Drawn) Weighing {
	w := Weighing{Balance: Balance{Mass: book}, Gross: gross, Scale: Scale{100}, Drawn: drawn}
	w.Balance.Spool = Spool{Code: "S1", Gross: 1_200 * g, Tare: 200 * g}
	return w
}

func draw(source string, mass measure.Mass) Drawn {
	return Drawn{Source: source, Recipe: "W40", Mass: mass, Relative: 0.005}
}

// Expected values worked out by hand: without draws U = 2·√(2)·0.1 g/√6 = 0.1155 g; with 100 g drawn at 0.5 % it is
// 2·√(0.0577² + 0.5²) = 1.0067 g.
func TestJudge(t *testing.T) {
	spread := func(w Weighing, m measure.Mass) Weighing { w.TareSpread = m; return w }
	confirmed := func(w Weighing) Weighing { w.Confirmed = true; return w }
	allocated := func(w Weighing, m measure.Mass) Weighing { w.Balance.Allocated = m; return w }
	tests := []struct {
		name     string
		weighing Weighing
		net      measure.Mass
		u        measure.Mass
		noise    bool
		surprise Surprise
		fails    error
		shares   []Share
		short    measure.Mass
	}{
		{name: "as the books say", weighing: onScale(500*g, 700*g), net: 500 * g, u: 116, noise: true},
		{name: "noise re-bases and charges nobody", weighing: onScale(500*g, 700*g-100), net: 500*g - 100, u: 116, noise: true,
			shares: []Share{{"", -100}}},
		{name: "noise to the last milligram", weighing: onScale(500*g, 700*g-116), net: 500*g - 116, u: 116, noise: true,
			shares: []Share{{"", -116}}},
		{name: "and no further", weighing: onScale(500*g, 700*g-117), net: 500*g - 117, u: 116, shares: []Share{{"", -117}}},
		{name: "full to the last milligram of uncertainty", weighing: onScale(1_000*g, 1_200*g+116), net: 1_000 * g, u: 116, noise: true},
		{name: "and no fuller", weighing: onScale(1_000*g, 1_200*g+117), net: 1_000 * g, u: 116, surprise: OverReceived, fails: ErrImpossible},
		{name: "empty to the last milligram of uncertainty", weighing: onScale(0, 200*g-82), net: 0, u: 116, noise: true},
		{name: "and no emptier", weighing: onScale(0, 200*g-83), net: 0, u: 116, surprise: BelowTare, fails: ErrImpossible},
		{name: "noise of a draw is nobody's either", weighing: onScale(500*g, 699*g, draw("B1", 100*g)), net: 499 * g, u: 1_007, noise: true,
			shares: []Share{{"", -1_000}}},
		{name: "a small loss nobody can have made is nobody's", weighing: onScale(500*g, 695*g), net: 495 * g, u: 116,
			shares: []Share{{"", -5 * g}}},
		{name: "a loss is split by what was drawn, a tie to the earlier",
			weighing: onScale(500*g, 697*g-1, draw("B1", 50*g), draw("B2", 25*g), draw("B3", 0), draw("B2", 25*g)), net: 497*g - 1, u: 1_007,
			shares: []Share{{"B1", -1_501}, {"B2", -1_500}}},
		{name: "much is gone", weighing: onScale(500*g, 670*g, draw("B1", 100*g)), net: 470 * g, u: 1_007, surprise: MuchGone, fails: ErrUnconfirmed},
		{name: "much is gone, confirmed", weighing: confirmed(onScale(500*g, 670*g, draw("B1", 100*g))), net: 470 * g, u: 1_007, surprise: MuchGone,
			shares: []Share{{"B1", -30 * g}}},
		{name: "2 % of what was received is not much", weighing: onScale(500*g, 680*g, draw("B1", 100*g)), net: 480 * g, u: 1_007,
			shares: []Share{{"B1", -20 * g}}},
		{name: "nor is 5 % of a great draw and the uncertainty", weighing: onScale(300*g, 500*g-36*g, draw("B1", 600*g)), net: 264 * g, u: 6_002,
			shares: []Share{{"B1", -36 * g}}},
		{name: "but a little more is", weighing: onScale(300*g, 500*g-36*g-100, draw("B1", 600*g)), net: 264*g - 100, u: 6_002,
			surprise: MuchGone, fails: ErrUnconfirmed},
		{name: "wire appears", weighing: onScale(500*g, 703*g, draw("B1", 100*g)), net: 503 * g, u: 1_007, surprise: WireAppears, fails: ErrUnconfirmed},
		{name: "wire appears, confirmed: the batch took less", weighing: confirmed(onScale(500*g, 703*g, draw("B1", 100*g))), net: 503 * g, u: 1_007,
			surprise: WireAppears, shares: []Share{{"B1", 3 * g}}},
		{name: "a batch gives back no more than it drew", weighing: confirmed(onScale(500*g, 720*g, draw("B1", 5*g), draw("B2", 7*g))), net: 520 * g, u: 167,
			surprise: WireAppears, shares: []Share{{"B1", 5 * g}, {"B2", 7 * g}, {"", 8 * g}}},
		{name: "wire appears and none drew, confirmed", weighing: confirmed(onScale(500*g, 703*g)), net: 503 * g, u: 116,
			surprise: WireAppears, shares: []Share{{"", 3 * g}}},
		{name: "a full spool a step too heavy is full", weighing: onScale(1_000*g, 1_200*g+100), net: 1_000 * g, u: 116, noise: true},
		{name: "more than was received", weighing: confirmed(onScale(1_000*g, 1_200*g+200)), net: 1_000 * g, u: 116,
			surprise: OverReceived, fails: ErrImpossible},
		{name: "a nominal tare leaves room", weighing: spread(onScale(1_000*g, 1_200*g+200), 500), net: 1_000 * g, u: 616, noise: true},
		{name: "an empty spool a step too light is empty", weighing: onScale(100, 200*g-50), net: 0, u: 116, noise: true,
			shares: []Share{{"", -100}}},
		{name: "below tare", weighing: confirmed(onScale(100, 199*g)), net: 0, u: 116, surprise: BelowTare, fails: ErrImpossible},
		{name: "below a nominal tare within its spread", weighing: spread(onScale(100, 199*g), 1_000), net: 0, u: 1_116, noise: true,
			shares: []Share{{"", -100}}},
		{name: "allocated wire is not there", weighing: allocated(onScale(500*g, 695*g), 498*g), net: 495 * g, u: 116,
			shares: []Share{{"", -5 * g}}, short: 3 * g},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			v, err := Judge(tt.weighing, DefaultLossLimit())
			if !errors.Is(err, tt.fails) || (err != nil) != (tt.fails != nil) {
				t.Fatalf("error %v, want %v", err, tt.fails)
			}
			if v.Net != tt.net || v.Difference != tt.net-v.Book || v.Book != tt.weighing.Balance.Mass || v.Short != tt.short {
				t.Errorf("net %s, book %s, difference %s, short %s", v.Net, v.Book, v.Difference, v.Short)
			}
			if v.Uncertainty != tt.u || v.Noise != tt.noise || v.Surprise != tt.surprise {
				t.Errorf("±%s, noise %v, surprise %q; want ±%s, %v, %q", v.Uncertainty, v.Noise, v.Surprise, tt.u, tt.noise, tt.surprise)
			}
			if !slices.Equal(v.Shares, tt.shares) {
				t.Errorf("shares %v, want %v", v.Shares, tt.shares)
			}
		})
	}
}

func TestJudgeSaysWhatToDo(t *testing.T) {
	tests := []struct {
		name     string
		weighing Weighing
		want     []string
	}{
		{"wire appears", onScale(500*g, 703*g), []string{"spool S1", "3 g more", "right spool", "tare of 200 g", "weigh again", "second time (second)"}},
		{"much is gone", onScale(500*g, 670*g), []string{"spool S1", "30 g less", "right spool", "weigh again", "second time (second)"}},
		{"over received", onScale(900*g, 1_300*g), []string{"1100 g of the 1000 g received", "receipt and tare"}},
		{"below tare", onScale(900*g, 100*g), []string{"100 g", "empty spool of 200 g", "right spool"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			v, err := Judge(tt.weighing, DefaultLossLimit())
			for _, part := range tt.want {
				if err == nil || !strings.Contains(err.Error(), part) {
					t.Errorf("%v does not say %q", err, part)
				}
			}
			if err != nil && !strings.HasPrefix(err.Error(), v.Why) {
				t.Errorf("error %q and verdict %q disagree", err, v.Why)
			}
		})
	}
	seen := onScale(500*g, 650*g)
	seen.Confirmed = true
	if v, _ := Judge(seen, DefaultLossLimit()); !strings.HasSuffix(v.Why, "charged to no batch") || !strings.Contains(v.Why, "50 g less") {
		t.Errorf("a loss that was confirmed is called %q", v.Why)
	}
	if v, _ := Judge(onScale(500*g, 700*g-100), DefaultLossLimit()); !strings.Contains(v.Why, "noise") {
		t.Errorf("noise is called %q", v.Why)
	}
}

func TestJudgeRefusesNonsense(t *testing.T) {
	good := onScale(500*g, 700*g)
	tests := []struct {
		name   string
		change func(*Weighing)
		names  string
	}{
		{"no scale", func(w *Weighing) { w.Scale = Scale{} }, "resolution"},
		{"gross below zero", func(w *Weighing) { w.Gross = -1 }, "gross"},
		{"spread below zero", func(w *Weighing) { w.TareSpread = -1 }, "tare spread"},
		{"a draw below zero", func(w *Weighing) { w.Drawn = []Drawn{{Source: "B1", Mass: -1}} }, "drawn by B1"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := good
			tt.change(&w)
			if v, err := Judge(w, DefaultLossLimit()); err == nil || !strings.Contains(err.Error(), tt.names) || v.Shares != nil {
				t.Errorf("got %+v, %v", v, err)
			}
		})
	}
}

// aWeighing draws any reading of any spool, half of them confirmed.
func aWeighing() *rapid.Generator[Weighing] {
	return rapid.Custom(func(t *rapid.T) Weighing {
		received := measure.Mass(rapid.Int64Range(1, 5_000_000).Draw(t, "received"))
		book := measure.Mass(rapid.Int64Range(0, int64(received)).Draw(t, "book"))
		tare := measure.Mass(rapid.Int64Range(0, 500_000).Draw(t, "tare"))
		near := measure.Mass(rapid.OneOf(rapid.Int64Range(-500, 500), rapid.Int64Range(-5_000_000, 5_000_000)).Draw(t, "off the book"))
		w := Weighing{
			Balance:    Balance{Mass: book, Allocated: measure.Mass(rapid.Int64Range(0, int64(book)).Draw(t, "allocated"))},
			Gross:      max(tare+book+near, 0),
			Scale:      Scale{measure.Mass(rapid.SampledFrom([]int64{1, 10, 100, 1_000}).Draw(t, "step"))},
			TareSpread: measure.Mass(rapid.SampledFrom([]int64{0, 0, 2_000}).Draw(t, "spread")),
			Drawn:      rapid.SliceOfN(aDraw(), 0, 6).Draw(t, "drawn"),
			Confirmed:  rapid.Bool().Draw(t, "confirmed"),
		}
		w.Balance.Spool = Spool{Code: "S1", Gross: tare + received, Tare: tare}
		return w
	})
}

func TestSharesSumToTheDifference(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := aWeighing().Draw(t, "weighing")
		v, err := Judge(w, DefaultLossLimit())
		if err != nil {
			if v.Shares != nil {
				t.Fatalf("refused with %v, and yet shares %v", err, v.Shares)
			}
			return
		}
		drew := map[string]measure.Mass{}
		for _, d := range w.Drawn {
			drew[d.Source] += d.Mass
		}
		var sum measure.Mass
		for _, s := range v.Shares {
			sum += s.Mass
			if s.Source != "" && (v.Noise || drew[s.Source] == 0 || s.Mass > drew[s.Source]) {
				t.Errorf("%+v is charged to a batch that drew %s; noise: %v", s, drew[s.Source], v.Noise)
			}
			if s.Mass == 0 || (s.Mass > 0) != (v.Difference > 0) {
				t.Errorf("share %+v of a difference of %s", s, v.Difference)
			}
		}
		if sum != v.Difference || v.Book+sum != v.Net {
			t.Errorf("shares sum to %s, difference %s", sum, v.Difference)
		}
	})
}

// Whatever is posted keeps the ledger's bounds, and weighing the same again finds no difference.
func TestWeighingAgainFindsNoDifference(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := aWeighing().Draw(t, "weighing")
		v, err := Judge(w, DefaultLossLimit())
		if err != nil {
			return
		}
		if err := w.Balance.Check(v.Difference); err != nil {
			t.Fatal(err)
		}
		again := w
		again.Balance.Mass, again.Balance.Allocated, again.Drawn, again.Confirmed = v.Net, 0, nil, false
		second, err := Judge(again, DefaultLossLimit())
		if err != nil || second.Difference != 0 || !second.Noise || second.Shares != nil {
			t.Errorf("first %+v; again %+v, %v", v, second, err)
		}
	})
}

// A confirmation lets through a surprise and nothing that is impossible, and changes nothing of what is posted.
func TestConfirmationOnlyLetsThrough(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := aWeighing().Draw(t, "weighing")
		w.Confirmed = false
		plain, err := Judge(w, DefaultLossLimit())
		w.Confirmed = true
		sure, sureErr := Judge(w, DefaultLossLimit())
		if (plain.Surprise == NoSurprise) != (err == nil) {
			t.Errorf("surprise %q, error %v", plain.Surprise, err)
		}
		if impossible := errors.Is(err, ErrImpossible); impossible != (sureErr != nil) {
			t.Errorf("without confirmation %v, with it %v", err, sureErr)
		}
		if plain.Net != sure.Net || (err == nil && !slices.Equal(plain.Shares, sure.Shares)) {
			t.Errorf("without confirmation %+v, with it %+v", plain, sure)
		}
	})
}
