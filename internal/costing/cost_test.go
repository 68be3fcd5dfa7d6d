package costing_test

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"windingroom/internal/calendar"
	"windingroom/internal/costing"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

func TestSplitScrap(t *testing.T) {
	for _, c := range []struct {
		good, scrapped int
		yield          float64
		normal         int
	}{
		{19, 1, 0.95, 1}, {19, 2, 0.95, 1}, // 19 ÷ 0.95 is 20
		{43, 90, 0.344, 82},          // 125, and 125.00000000000001 in floating point
		{6, 1, 0.95, 1},              // a seventh string is begun for the sixth good one
		{20, 5, 0.95, 2},             // 21.05 → 22
		{20, 1, 0.95, 1},             // less than expected: all of it normal
		{7000, 1000, 0.9, 778},       // 7777.8 → 7778
		{7000, 1000, 10.0 / 11, 700}, // a normal rate of 10 % of good output
		{0, 6, 0.95, 0},              // no output bears it
		{10, 2, 1, 0}, {10, 2, 0, 0}, {10, 0, 0.5, 0}, {-1, -1, 0.5, 0},
	} {
		want := costing.Scrap{Normal: c.normal, Abnormal: max(c.scrapped, 0) - c.normal}
		if got := costing.SplitScrap(c.good, c.scrapped, c.yield); got != want {
			t.Errorf("%d good, %d scrapped at %g: %+v, want %+v", c.good, c.scrapped, c.yield, got, want)
		}
	}
}

// Spoiled units of a job: the good ones carry their own cost and that of the normal spoilage, the abnormal is a loss (Horngren, Datar
// and Rajan, Cost Accounting, chapter on spoilage, material part of the first example, from memory: 27 a unit; 7000 good, a
// normal rate of 10 % of good output, 1000 spoiled).
func TestNormalAndAbnormalSpoilage(t *testing.T) {
	got := costing.CostBatch(costing.Batch{Good: 7000, Scrapped: 1000, Yield: 10.0 / 11, Uses: []costing.Use{{Strings: 8000, Cost: 216_000_00}}})
	if got.Good.Wire != 189_000_00 || got.NormalScrap.Wire != 18_900_00 || got.Abnormal.Wire != 8_100_00 {
		t.Errorf("%+v", got)
	}
}

func anyBatch(r *rapid.T) (costing.Batch, costing.Standard) {
	b := costing.Batch{Code: "B1", Recipe: "R1", Machine: "M1", Good: rapid.IntRange(0, 200).Draw(r, "good"),
		Scrapped: rapid.IntRange(0, 50).Draw(r, "scrapped"), Yield: rapid.Float64Range(0.3, 1).Draw(r, "yield")}
	var s costing.Standard
	some := []wireCode{"core", "wrap", "other"}
	for _, w := range some[:rapid.IntRange(0, 3).Draw(r, "wires")] {
		s.Wires = append(s.Wires, costing.StandardWire{Wire: w, Each: measure.MassEach(rapid.Int64Range(0, 9e12).Draw(r, "each")),
			PerKg: money.Minor(rapid.IntRange(0, 20_000).Draw(r, "price"))})
	}
	s.Setup, s.Time = time.Duration(rapid.IntRange(0, 30).Draw(r, "setup"))*time.Minute, time.Duration(rapid.IntRange(0, 600).Draw(r, "time"))*time.Second
	s.PerHour = money.Minor(rapid.IntRange(0, 9000).Draw(r, "rate"))
	for range rapid.IntRange(0, 5).Draw(r, "uses") {
		b.Uses = append(b.Uses, costing.Use{Wire: rapid.SampledFrom(some).Draw(r, "wire"), Lot: rapid.SampledFrom([]string{"L1", "L2"}).Draw(r, "lot"),
			Strings: rapid.IntRange(0, 200).Draw(r, "strings"), Mass: measure.Mass(rapid.IntRange(-1000, 1_000_000).Draw(r, "mass")),
			Cost: money.Minor(rapid.IntRange(-100, 100_000).Draw(r, "cost"))})
	}
	for range rapid.IntRange(0, 3).Draw(r, "works") {
		b.Works = append(b.Works, costing.Work{Person: rapid.SampledFrom([]string{"Ida", "Tom"}).Draw(r, "person"), Strings: rapid.IntRange(0, 200).Draw(r, "strings"),
			Time: time.Duration(rapid.IntRange(0, 500).Draw(r, "minutes")) * time.Minute, Cost: money.Minor(rapid.IntRange(0, 50_000).Draw(r, "wages"))})
	}
	return b, s
}

// Good, normal and abnormal make the whole; whoever got the good strings bears the product cost; the variances are actual − standard,
// however they are grouped; and the journal balances and leaves nothing of the batch on Winding.
func TestBatchAddsUp(t *testing.T) {
	accounts := costing.Accounts{Wire: "1", NotInvoiced: "2", Winding: "3", Finished: "4", Wages: "5", Scrap: "6", AbnormalScrap: "7", Difference: "8",
		Revaluation: "9", PriceDifference: "10", UsageVariance: "11"}
	rapid.Check(t, func(r *rapid.T) {
		b, s := anyBatch(r)
		cost := costing.CostBatch(b)
		if sum := cost.Good.Total() + cost.NormalScrap.Total() + cost.Abnormal.Total() + cost.Usage; sum != cost.All.Total() || sum != cost.Product().Total()+cost.Abnormal.Total()+cost.Usage {
			r.Fatalf("%+v does not add up", cost)
		}
		if b.Good == 0 && cost.Product() != (costing.Cost{}) {
			r.Fatalf("no good string costs %+v", cost.Product())
		}
		if b.Good > 0 {
			var shared money.Minor
			for _, one := range cost.Share(rapid.SliceOfN(rapid.IntRange(0, 50), 1, 6).Draw(r, "shares")) {
				shared += one.Total()
			}
			if shared != cost.Product().Total() {
				r.Fatalf("shared %d of %d", shared, cost.Product().Total())
			}
		}
		if b.Good+b.Scrapped > 0 && cost.Usage != 0 || b.Good+b.Scrapped == 0 && cost.Usage != cost.Charged {
			r.Fatalf("%d strings, and usage of earlier ones %d of %d", b.Good+b.Scrapped, cost.Usage, cost.Charged)
		}
		compared := costing.Compare(b, s)
		if compared.Actual != cost.All || compared.Standard != s.Cost(b.Good, b.Yield) {
			r.Fatalf("%+v beside %+v and %+v", compared, cost.All, s.Cost(b.Good, b.Yield))
		}
		for _, cause := range []costing.Cause{costing.ByRecipe, costing.ByMachine, costing.ByPerson, costing.ByWire, costing.ByLot, costing.ByBatch} {
			sum := compared.Standard.Total()
			for _, g := range costing.GroupVariances(compared.Variances, cause) {
				sum += g.Amount
			}
			if sum != compared.Actual.Total() {
				r.Fatalf("standard and variances by %s make %d of %d", cause, sum, compared.Actual.Total())
			}
		}
		lines := accounts.Batch(firstDay, b.Code, cost)
		onWinding := cost.All.Wire - cost.Charged // drawn, by the roll-forward
		for _, l := range lines {
			if l.Account == accounts.Winding {
				onWinding += l.Debit - l.Credit
			}
			if min(l.Debit, l.Credit) != 0 || max(l.Debit, l.Credit) <= 0 {
				r.Fatalf("%+v has not one side", l)
			}
		}
		sumDebit, sumCredit := costing.Balance(costing.Summarise(lines))
		if debit, credit := costing.Balance(lines); debit != credit || onWinding != 0 || sumDebit != debit || sumCredit != credit {
			r.Fatalf("debit %d, credit %d, left on winding %d", debit, credit, onWinding)
		}
	})
}

// The journal of any month balances, and moves Wire from opening to closing.
func TestRollJournal(t *testing.T) {
	accounts := costing.Accounts{Wire: "wire"}
	rapid.Check(t, func(r *rapid.T) {
		b := randomBook(r)
		months, _ := roll(r, b.entries, costing.PeriodOf(firstDay), costing.PeriodOf(firstDay)+12, byMixed())
		for _, m := range months {
			lines := accounts.Roll(m)
			var wire money.Minor
			for _, l := range lines {
				if l.Account == "wire" {
					wire += l.Debit - l.Credit
				}
			}
			total := m.Total()
			if debit, credit := costing.Balance(lines); debit != credit || wire != total.Closing.Cost-total.Opening.Cost {
				r.Fatalf("%s: debit %d, credit %d, wire %d of %+v", m.Name(), debit, credit, wire, total)
			}
		}
	})
}

func TestBatchJournal(t *testing.T) {
	accounts := costing.Accounts{Wire: "1100", Winding: "1200", Finished: "1300", Wages: "5200", AbnormalScrap: "5900", Difference: "5800"}
	cost := costing.BatchCost{All: costing.Cost{Wire: 800, Labour: 200}, Abnormal: costing.Cost{Wire: 80, Labour: 20}, Charged: -5}
	day := calendar.NewDate(2026, time.March, 31)
	line := func(account string, debit, credit int, text string) costing.JournalLine {
		return costing.JournalLine{Date: day, Account: costing.Account(account), Debit: minorOf(debit), Credit: minorOf(credit), Text: text, Source: "batch B1"}
	}
	want := []costing.JournalLine{
		line("1200", 200, 0, "labour"), line("5200", 0, 200, "labour"),
		line("5800", 5, 0, "differences of weighings"), line("1200", 0, 5, "differences of weighings"),
		line("1300", 900, 0, "strings made"), line("1200", 0, 900, "strings made"),
		line("5900", 100, 0, "scrap beyond the expected"), line("1200", 0, 100, "scrap beyond the expected"),
	}
	got := accounts.Batch(day, "B1", cost)
	if len(got) != len(want) {
		t.Fatalf("%d lines, want %d: %+v", len(got), len(want), got)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("line %d: %+v, want %+v", i, got[i], want[i])
		}
	}
}

// What a variance is caused by: a batch of 10 good strings of which 12 were wound, from two lots, by two people.
func TestCompareNamesCauses(t *testing.T) {
	b := costing.Batch{Code: "B1", Recipe: "R1", Machine: "M1", Good: 10, Scrapped: 2, Yield: 1,
		Uses: []costing.Use{
			{Wire: "core", Lot: "L1", Strings: 8, Mass: 8 * measure.Kilogram, Cost: 880},
			{Wire: "core", Lot: "L2", Strings: 4, Mass: 5 * measure.Kilogram, Cost: 500},
			{Wire: "stray", Lot: "L3", Mass: 1, Cost: 7},
		},
		Works: []costing.Work{{Person: "Ida", Strings: 6, Time: 2 * time.Hour, Cost: 2000}, {Person: "Tom", Strings: 6, Time: time.Hour, Cost: 1100}},
	}
	s := costing.Standard{Wires: []costing.StandardWire{{Wire: "core", Each: measure.MassEachFromKilograms(1), PerKg: 100}, {Wire: "wrap", Each: 1e12, PerKg: 1}},
		Setup: time.Hour, Time: 10 * time.Minute, PerHour: 1000}
	of := func(kind costing.VarianceKind, amount int, wire, lot, person string) costing.Variance {
		return costing.Variance{Kind: kind, Amount: minorOf(amount), Batch: "B1", Recipe: "R1", Machine: "M1", Wire: wireCode(wire), Lot: lot, Person: person}
	}
	want := []costing.Variance{
		of(costing.PriceVariance, 80, "core", "L1", ""), of(costing.UsageVariance, 100, "core", "L2", ""), of(costing.MixVariance, 7, "stray", "L3", ""),
		of(costing.YieldVariance, 200, "core", "", ""), of(costing.MixVariance, -10, "wrap", "", ""),
		of(costing.RateVariance, 100, "", "", "Tom"), of(costing.YieldVariance, 333, "", "", ""),
	}
	got := costing.Compare(b, s)
	if len(got.Variances) != len(want) {
		t.Fatalf("%+v", got.Variances)
	}
	for i := range want {
		if got.Variances[i] != want[i] {
			t.Errorf("%+v, want %+v", got.Variances[i], want[i])
		}
	}
	if got.Standard != (costing.Cost{Wire: 1010, Labour: 2667}) || got.Actual != (costing.Cost{Wire: 1387, Labour: 3100}) {
		t.Errorf("standard %+v, actual %+v", got.Standard, got.Actual)
	}
}
