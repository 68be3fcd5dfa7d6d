package intake_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/calendar"
	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

func onShelf() intake.OnShelf {
	return intake.OnShelf{Currency: "EUR", Today: calendar.NewDate(2026, 3, 2), Wires: []material.Wire{{Code: "MW-10"}, {Code: "PB-12"}},
		Types: []stock.SpoolType{{Name: "DIN-160", Tare: 200 * measure.Gram, Weighed: 1}}}
}

func TestOneSpool(t *testing.T) {
	whole := intake.SpoolText{Spool: "S-1", Wire: "mw-10", Lot: "L", Gross: "300.5", ReceivedOn: "2026-03-01", Tare: "100", Cost: "4.20", Location: "rack"}
	tests := []struct {
		name   string
		change func(*intake.SpoolText)
		want   func(*stock.Spool)
		says   string // of the only problem
	}{
		{name: "whole"},
		{name: "today", change: func(s *intake.SpoolText) { s.ReceivedOn = "" }, want: func(s *stock.Spool) { s.ReceivedOn++ }},
		{name: "no place", change: func(s *intake.SpoolText) { s.Location = "" }, want: func(s *stock.Spool) { s.Location = "" }},
		{name: "tare by type", change: func(s *intake.SpoolText) { s.Tare, s.SpoolType = "", "din-160" },
			want: func(s *stock.Spool) { s.Tare, s.Type = 200*measure.Gram, "DIN-160" }},
		{name: "own tare although of a type", change: func(s *intake.SpoolText) { s.SpoolType = "DIN-160" }},
		{name: "free of charge", change: func(s *intake.SpoolText) { s.Cost = "0" }, want: func(s *stock.Spool) { s.Cost = 0 }},
		{name: "no code", change: func(s *intake.SpoolText) { s.Spool = "" }, says: "spool: is needed"},
		{name: "no lot", change: func(s *intake.SpoolText) { s.Lot = " " }, says: "lot: is needed"},
		{name: "no weight", change: func(s *intake.SpoolText) { s.Gross = "" }, says: "gross_g: is needed"},
		{name: "no day", change: func(s *intake.SpoolText) { s.ReceivedOn = "2026-02-30" }, says: "received_on: "},
		{name: "lighter than the tare of its type", change: func(s *intake.SpoolText) { s.Gross, s.Tare, s.SpoolType = "150", "", "DIN-160" },
			says: "gross_g: 150 is below the tare of 200 g"},
		{name: "no tare", change: func(s *intake.SpoolText) { s.Tare = "" }, says: "tare_g: is needed"},
		{name: "a control character", change: func(s *intake.SpoolText) { s.Location = "a\x01" }, says: "location: has the control character"},
		{name: "not UTF-8", change: func(s *intake.SpoolText) { s.Lot = "a\xff" }, says: "lot: has the byte"},
		{name: "heavier than a lorry", change: func(s *intake.SpoolText) { s.Gross = "1000001" }, says: "gross_g: 1000001 must be at most 1000 kg"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			text := whole
			want := stock.Spool{Code: "S-1", Wire: "MW-10", Lot: "L", ReceivedOn: calendar.NewDate(2026, 3, 1), Gross: 300_500, Tare: 100_000, Cost: 420, Location: "rack"}
			if tt.change != nil {
				tt.change(&text)
			}
			if tt.want != nil {
				tt.want(&want)
			}
			got, problems := intake.OneSpool(text).Receive(onShelf(), intake.Invoice{})
			if tt.says != "" {
				if len(problems) != 1 || !strings.HasPrefix(problems[0].String(), tt.says) {
					t.Errorf("problems %v, want one: %s", problems, tt.says)
				}
				return
			}
			if len(problems) > 0 || len(got.Spools) != 1 || got.Spools[0] != want || got.Here {
				t.Errorf("got %+v, %v, want %+v", got, problems, want)
			}
		})
	}
}

// Whatever the invoice, the spools' costs sum to it, and the same delivery again is known.
func TestDeliveryCostsSumToTheInvoice(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		list := make([]intake.SpoolText, rapid.IntRange(1, 8).Draw(r, "spools"))
		shelf := onShelf()
		for i := range list {
			list[i] = intake.SpoolText{Spool: fmt.Sprintf("S-%d", i), Wire: "MW-10", Lot: "L", Tare: "100",
				Gross: (100*measure.Gram + measure.Mass(rapid.Int64Range(1, 1e9-1e8).Draw(r, "net"))).GramText()}
		}
		amount := func(what string) money.Minor { return money.Minor(rapid.Int64Range(0, 1e9).Draw(r, what)) }
		cost, freight := amount("cost"), amount("freight")
		invoice := intake.Invoice{Cost: shelf.Currency.Text(cost), Freight: shelf.Currency.Text(freight)}
		got, problems := intake.SeveralSpools(list).Receive(shelf, invoice)
		if len(problems) > 0 {
			r.Fatal(problems)
		}
		var sum money.Minor
		for _, s := range got.Spools {
			if s.Cost < 0 {
				r.Fatalf("spool %s costs %d", s.Code, s.Cost)
			}
			sum += s.Cost
		}
		if sum != cost+freight || got.Cost != cost || got.Freight != freight {
			r.Fatalf("spools cost %d of %d and %d", sum, cost, freight)
		}
		shelf.Spools = got.Spools
		if again, problems := intake.SeveralSpools(list).Receive(shelf, invoice); len(problems) > 0 || !again.Here {
			r.Fatalf("again: %+v, %v", again, problems)
		}
	})
}

func FuzzReadDelivery(f *testing.F) {
	for _, seed := range []string{"", "spool,wire,lot,gross_g\n", "spool,wire,lot,gross_g,tare_g,cost\nS-1,MW-10,L,300,100,4\n",
		"spool,wire,lot,gross_g,spool_type\nS-1,mw-10,\"L\n2\",300,din-160\nS-1,XX,,x,none\n", "\ufeffspool;wire\n", "spool,wire,lot,gross_g,tare_g\nS-1,\"MW-10,L,1,2\n"} {
		f.Add(seed, "10", "")
	}
	f.Fuzz(func(t *testing.T, text, cost, freight string) {
		d, early := intake.ReadDelivery(strings.NewReader(text), "d.csv")
		got, problems := d.Receive(onShelf(), intake.Invoice{Cost: cost, Freight: freight})
		if len(problems) < len(early) {
			t.Errorf("%d problems, %d of them early", len(problems), len(early))
		}
		if len(problems) == 0 && len(got.Spools) == 0 || len(problems) > 0 && len(got.Spools) > 0 {
			t.Errorf("%d spools with %v", len(got.Spools), problems)
		}
		var sum money.Minor
		for _, s := range got.Spools {
			if s.Net() <= 0 || s.Code == "" || s.Cost < 0 {
				t.Errorf("took in %+v", s)
			}
			sum += s.Cost
		}
		if sum != got.Cost+got.Freight {
			t.Errorf("spools cost %d of %d and %d", sum, got.Cost, got.Freight)
		}
	})
}

func TestAReceiptOfAnotherYear(t *testing.T) {
	for day, bad := range map[string]bool{"2026-03-02": false, "2027-03-03": false, "2027-03-04": true, "2062-03-02": true} {
		spool := intake.SpoolText{Spool: "N-1", Wire: "MW-10", Lot: "L", ReceivedOn: day, Gross: "500", Tare: "100", Cost: "1"}
		_, problems := intake.SeveralSpools([]intake.SpoolText{spool}).Receive(onShelf(), intake.Invoice{})
		if bad != (len(problems) == 1 && problems[0].Column == "spools[0].received_on") || !bad && len(problems) > 0 {
			t.Errorf("%s: %v", day, problems)
		}
	}
}
