package purchase_test

import (
	"testing"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
	"windingroom/internal/purchase"
)

func TestOutstanding(t *testing.T) {
	const kg = measure.Kilogram
	tests := []struct {
		name                    string
		mass, received, wantYet measure.Mass
		complete                bool
	}{
		{"nothing came", 2 * kg, 0, 2 * kg, false},
		{"half came", 2 * kg, kg, kg, false},
		{"just less than the allowance", 2 * kg, 1_899_999, 100_001, false},
		{"within the allowance", 2 * kg, 1_900_000, 0, true},
		{"more came", 2 * kg, 3 * kg, 0, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := purchase.Purchase{Lines: []purchase.Line{{Wire: "A", Mass: tt.mass, Received: tt.received}}}
			if got := p.Lines[0].Outstanding(); got != tt.wantYet || p.Complete() != tt.complete {
				t.Errorf("outstanding %s, complete %v", got, p.Complete())
			}
		})
	}
}

func TestMoneyOfAPurchase(t *testing.T) {
	p := purchase.Purchase{Freight: 990, Lines: []purchase.Line{{Wire: "A", Mass: 250_000, PricePerKg: 7401}, {Wire: "B", Mass: 2_500_000, PricePerKg: 4200}},
		// 450 at 6.50 where 6.90 was expected: 180 favourable (Warren, Reeve and Duchac, Accounting, ex. 23-5, read in a copy).
		Receipts: []purchase.Receipt{{Cost: 450 * 650, Expected: 450 * 690}, {Cost: 100, Expected: 90}}}
	if got := p.Total(); got != 990+1850+10500 {
		t.Errorf("total %d", got)
	}
	if got := p.Difference(); got != -18000+10 {
		t.Errorf("difference %d", got)
	}
	if p.Line("B") != &p.Lines[1] || p.Line("C") != nil {
		t.Error("found the wrong line")
	}
}

func TestDueOn(t *testing.T) {
	p := purchase.Purchase{OrderedOn: calendar.NewDate(2026, 3, 2)}
	if got := p.DueOn(20.2); got != calendar.NewDate(2026, 3, 23) {
		t.Errorf("by the supplier's usual days: %s", got)
	}
	p.PromisedOn = calendar.NewDate(2026, 3, 10)
	if got := p.DueOn(20.2); got != p.PromisedOn {
		t.Errorf("promised: %s", got)
	}
}
