package costing_test

import (
	"errors"
	"testing"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/costing"
	"windingroom/internal/stock"
)

// on is an entry of wire W on a day of January.
func on(day int, id stock.MovementID, kind stock.Kind, mass, cost int) costing.Entry {
	d := firstDay + calendar.Date(day-1)
	return costing.Entry{ID: id, Wire: "W", Kind: kind, Mass: massOf(mass), Cost: minorOf(cost), On: d, At: d.Time()}
}

func reversing(e costing.Entry, id stock.MovementID) costing.Entry {
	e.Reverses = id
	return e
}

func TestLedger(t *testing.T) {
	type want struct{ fifo, average, fifoRevalued, averageRevalued int }
	for name, c := range map[string]struct {
		entries []costing.Entry
		last    want // of the last entry
		left    want // fifo and average
	}{
		"wire that appears is put back on what was drawn last": {
			[]costing.Entry{on(1, 1, stock.Receipt, 10, 100), on(2, 2, stock.Receipt, 10, 300), on(3, 3, stock.Draw, -12, 0), on(4, 4, stock.WeighBack, 3, 0)},
			want{fifo: 2*30 + 10, average: 60}, want{fifo: 100 + 0*30 + 210, average: 220},
		},
		"wire that appears on nothing has the price it was drawn at": {
			[]costing.Entry{on(1, 1, stock.Receipt, 10, 100), on(2, 2, stock.Draw, -10, 0), on(3, 3, stock.CountDifference, 2, 0)},
			want{fifo: 20, average: 20}, want{fifo: 20, average: 20},
		},
		"a draw is taken back on its own layer after others were drawn": {
			[]costing.Entry{on(1, 1, stock.Receipt, 10, 100), on(2, 2, stock.Receipt, 10, 300), on(3, 3, stock.Draw, -5, 0), on(4, 4, stock.Draw, -10, 0),
				reversing(on(5, 5, stock.Reversal, 5, 0), 3)},
			want{fifo: 50, average: 100}, want{fifo: 200, average: 200},
		},
		"a receipt is taken back though it was drawn from": {
			[]costing.Entry{on(1, 1, stock.Receipt, 10, 100), on(2, 2, stock.Receipt, 10, 300), on(3, 3, stock.Draw, -4, 0),
				reversing(on(4, 4, stock.Reversal, -10, 0), 1)},
			want{fifo: -60 - 120, average: -100}, want{fifo: 180, average: 220},
		},
		"a receipt that the rest cannot carry is taken back at the average": {
			[]costing.Entry{on(1, 1, stock.Receipt, 10, 100), on(2, 2, stock.Receipt, 10, 300), on(3, 3, stock.Draw, -8, 0),
				reversing(on(4, 4, stock.Reversal, -10, 0), 2)},
			want{fifo: -300, average: -200}, want{fifo: 20, average: 40},
		},
		"wire drawn before it came is settled when it comes": {
			[]costing.Entry{on(1, 1, stock.Receipt, 10, 100), on(2, 2, stock.Draw, -15, 0), on(3, 3, stock.Receipt, 20, 600)},
			want{fifo: 600, average: 600, fifoRevalued: -100, averageRevalued: -100}, want{fifo: 450, average: 450},
		},
		"wire drawn before it appeared settles by itself": {
			[]costing.Entry{on(1, 1, stock.Receipt, 10, 100), on(2, 2, stock.Draw, -15, 0), on(3, 3, stock.WeighBack, 5, 0)},
			want{fifo: 50, average: 50}, want{},
		},
		"more short than a receipt brings": {
			[]costing.Entry{on(1, 1, stock.Receipt, 10, 100), on(2, 2, stock.Draw, -15, 0), on(3, 3, stock.Receipt, 2, 60), on(4, 4, stock.WeighBack, 3, 0)},
			want{fifo: 90, average: 90}, want{},
		},
		"weighings as of earlier days crossed": {
			[]costing.Entry{on(1, 1, stock.Receipt, 10, 100), on(2, 2, stock.WeighBack, 2, 0), on(3, 3, stock.Draw, -12, 0)},
			want{fifo: -120, average: -120}, want{},
		},
		"what was short is drawn on at the new price": {
			[]costing.Entry{on(1, 1, stock.Receipt, 10, 100), on(2, 2, stock.Draw, -15, 0), on(3, 3, stock.Receipt, 20, 600), on(4, 4, stock.Draw, -5, 0)},
			want{fifo: -150, average: -150}, want{fifo: 300, average: 300},
		},
		"a draw is taken back while wire is short": {
			[]costing.Entry{on(1, 1, stock.Receipt, 10, 1000), on(2, 2, stock.Draw, -10, 0), on(3, 3, stock.Receipt, 10, 100), on(4, 4, stock.Draw, -15, 0),
				reversing(on(5, 5, stock.Reversal, 10, 0), 2)},
			want{fifo: 5*10 + 5*100, average: 10 * 10}, want{fifo: 500, average: 50},
		},
		"nothing is put back on a receipt that was taken back": {
			[]costing.Entry{on(1, 1, stock.Receipt, 10, 100), on(2, 2, stock.Receipt, 10, 300), reversing(on(3, 3, stock.Reversal, -10, 0), 2),
				on(4, 4, stock.Draw, -5, 0), on(5, 5, stock.WeighBack, 2, 0)},
			want{fifo: 20, average: 20}, want{fifo: 70, average: 70},
		},
		"a gain is taken back from the layers that had it": {
			[]costing.Entry{on(1, 1, stock.Receipt, 10, 100), on(2, 2, stock.Receipt, 10, 300), on(3, 3, stock.Draw, -12, 0), on(4, 4, stock.WeighBack, 4, 0),
				reversing(on(5, 5, stock.Reversal, -4, 0), 4)},
			want{fifo: -2*30 - 2*10, average: -80}, want{fifo: 240, average: 160},
		},
		"a weighing that changed nothing": {
			[]costing.Entry{on(1, 1, stock.Receipt, 10, 100), on(2, 2, stock.WeighBack, 0, 0)},
			want{}, want{fifo: 100, average: 100},
		},
	} {
		t.Run(name, func(t *testing.T) {
			l := costing.NewLedger()
			var p costing.Posted
			for _, e := range c.entries {
				var err error
				if p, err = l.Post(e); err != nil {
					t.Fatal(err)
				}
			}
			got := want{int(p.Costs.FIFO), int(p.Costs.MovingAverage), int(p.Revalued.FIFO), int(p.Revalued.MovingAverage)}
			if got != c.last {
				t.Errorf("the last movement costs %+v, want %+v", got, c.last)
			}
			v := l.Value("W").Value
			if got := (want{fifo: int(v.FIFO), average: int(v.MovingAverage)}); got != c.left {
				t.Errorf("left %+v, want %+v", got, c.left)
			}
		})
	}
}

func TestLedgerRefuses(t *testing.T) {
	receipt := on(2, 2, stock.Receipt, 10, 100)
	for name, c := range map[string]struct {
		entry costing.Entry
		want  error
	}{
		"an earlier day":               {on(1, 9, stock.Draw, -1, 0), costing.ErrOrder},
		"an earlier number":            {on(2, 1, stock.Draw, -1, 0), costing.ErrOrder},
		"a reversal of what is not":    {reversing(on(3, 9, stock.Reversal, 1, 0), 7), costing.ErrOrder},
		"a receipt of nothing":         {on(3, 9, stock.Receipt, 0, 100), costing.ErrKind},
		"a receipt that pays":          {on(3, 9, stock.Receipt, 1, -1), costing.ErrKind},
		"a draw that gives":            {on(3, 9, stock.Draw, 1, 1), costing.ErrKind},
		"a kind that is none":          {on(3, 9, "gift", -1, 1), costing.ErrKind},
		"a draw of what never came in": {costing.Entry{ID: 9, Wire: "other", Kind: stock.Draw, Mass: -1, On: receipt.On + 1}, costing.ErrNothing},
	} {
		t.Run(name, func(t *testing.T) {
			l := costing.NewLedger()
			if _, err := l.Post(receipt); err != nil {
				t.Fatal(err)
			}
			if _, err := l.Post(c.entry); !errors.Is(err, c.want) {
				t.Errorf("%v, want %v", err, c.want)
			}
		})
	}
}

func TestPeriod(t *testing.T) {
	december, err := costing.ParsePeriod("2025-12")
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct{ got, want string }{
		"next":        {(december + 1).String(), "2026-01"},
		"first":       {december.First().String(), "2025-12-01"},
		"last":        {december.Last().String(), "2025-12-31"},
		"leap":        {costing.NewPeriod(2028, time.February).Last().String(), "2028-02-29"},
		"of its days": {costing.PeriodOf(december.Last()).String(), "2025-12"},
		"none":        {costing.Period(0).String(), ""},
	} {
		if c.got != c.want {
			t.Errorf("%s: %s, want %s", name, c.got, c.want)
		}
	}
	if !december.Holds(december.First()) || december.Holds(december.First()-1) || december.Holds(december.Last()+1) {
		t.Error("a period holds its own days and no other")
	}
}

func FuzzParsePeriod(f *testing.F) {
	for _, seed := range []string{"2026-03", "2026-13", "2026-3", "", "1899-12", "2026-03-01", "２026-03"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := costing.ParsePeriod(text)
		if err == nil && (p.String() != text || p <= 0) {
			t.Errorf("%q reads as %s", text, p)
		}
	})
}

func TestMethods(t *testing.T) {
	march := costing.NewPeriod(2026, time.March)
	m := costing.Methods{{Family: "steel", Formula: costing.FIFO, From: march}, {Family: "steel", Formula: costing.MovingAverage, From: march + 3}, {Family: "", Formula: costing.MovingAverage, From: march + 1}}
	if err := m.Check(); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		family string
		p      costing.Period
		want   costing.Formula
	}{
		{"steel", march - 1, costing.Specific}, {"Steel", march, costing.FIFO}, {"steel", march + 2, costing.FIFO}, {"steel", march + 3, costing.MovingAverage},
		{"bronze", march, costing.Specific}, {"bronze", march + 1, costing.MovingAverage},
	} {
		if got := m.Of(c.family, c.p); got != c.want {
			t.Errorf("%s in %s: %s, want %s", c.family, c.p, got, c.want)
		}
	}
	if err := append(m, costing.Method{Family: "STEEL", Formula: costing.Specific, From: march}).Check(); err == nil {
		t.Error("two methods of one family from one month pass")
	}
	if err := (costing.Methods{{Family: "steel", Formula: "lifo", From: march}}).Check(); err == nil {
		t.Error("last in first out passes")
	}
}
