package replenishment

import (
	"slices"
	"strings"
	"testing"

	"windingroom/internal/calendar"
	"windingroom/internal/stock"
)

// 70 g are used in a week, 10 g a day; a purchase takes 22 days, until 2026-03-24.
func TestSentences(t *testing.T) {
	noNotice := slices.Repeat([]Notice{{0, gram}}, fewNotices)
	for _, c := range []struct {
		name   string
		change func(*Input)
		want   string
	}{
		{"enough", nil, `Lasts until 2026-06-10 with the expected use. 1000.0 g on hand. A purchase takes 22 days: 70.0 g a week make 220.0 g, and 33.4 g more in case more is used or it comes late; 253.4 g is to be kept. It was used in 60 of 60 weeks; with so much known, such an amount lasts about 94 times in 100.`},
		{"soon", func(in *Input) { in.Spools[0].Mass = 380 * gram }, `To be ordered by 2026-03-20. 380.0 g on hand. A purchase takes 22 days: 70.0 g a week make 220.0 g, and 33.4 g more in case more is used or it comes late; 253.4 g is to be kept. It was used in 60 of 60 weeks; with so much known, such an amount lasts about 94 times in 100.`},
		{"today", func(in *Input) { in.Spools[0].Mass = 240 * gram }, `Order today: it may run out from 2026-03-27 on. 240.0 g on hand. A purchase takes 22 days: 70.0 g a week make 220.0 g, and 33.4 g more in case more is used or it comes late; 253.4 g is to be kept. That is 13.4 g too little. It was used in 60 of 60 weeks; with so much known, such an amount lasts about 94 times in 100.`},
		{"late", func(in *Input) { in.Spools[0].Mass = 150 * gram }, `Order at once, 5 days late: it runs out on 2026-03-18, 6 days before a purchase placed now is on the shelf on 2026-03-24. 150.0 g on hand. A purchase takes 22 days: 70.0 g a week make 220.0 g, and 33.4 g more in case more is used or it comes late; 253.4 g is to be kept. That is 103.4 g too little. It was used in 60 of 60 weeks; with so much known, such an amount lasts about 94 times in 100.`},
		{"gone, an order waits", func(in *Input) {
			in.Spools[0].Mass, in.Booked = 0, []Need{{"O-1", "A", today + 5, 120 * gram}}
		}, `Order at once, 20 days late: it runs out on 2026-03-03, 21 days before a purchase placed now is on the shelf on 2026-03-24. Order O-1 is at risk. Nothing on hand, less 120.0 g booked until 2026-03-24: 120.0 g is missing. A purchase takes 22 days: 70.0 g a week make 220.0 g, and 33.4 g more in case more is used or it comes late; 120.0 g of it is booked or allocated already, so 133.4 g is to be kept. That is 253.4 g too little. It was used in 60 of 60 weeks; with so much known, such an amount lasts about 94 times in 100.`},
		{"booked and allocated", func(in *Input) {
			in.Spools[0].Mass, in.Spools[0].Allocated = 320*gram, 60*gram
			in.Booked = []Need{{"O-1", "A", today + 5, 120 * gram}}
		}, `To be ordered by 2026-03-14. 320.0 g on hand, less 60.0 g allocated and 120.0 g booked until 2026-03-24, leaves 140.0 g. A purchase takes 22 days: 70.0 g a week make 220.0 g, and 33.4 g more in case more is used or it comes late; 180.0 g of it is booked or allocated already, so 73.4 g is to be kept. It was used in 60 of 60 weeks; with so much known, such an amount lasts about 94 times in 100.`},
		{"more booked than expected", func(in *Input) { in.Booked = []Need{{"O-1", "A", today + 5, 600 * gram}} }, `Lasts until 2026-06-10 with the expected use. 1000.0 g on hand, less 600.0 g booked until 2026-03-24, leaves 400.0 g. A purchase takes 22 days: 70.0 g a week make 220.0 g, and 33.4 g more in case more is used or it comes late; all of it is booked or allocated already. It was used in 60 of 60 weeks; with so much known, such an amount lasts about 94 times in 100.`},
		{"booked, notice known", func(in *Input) {
			in.Notices, in.Booked = noNotice, []Need{{"O-1", "A", today + 5, 120 * gram}}
		}, `Lasts until 2026-05-29 with the expected use. 1000.0 g on hand, less 120.0 g booked until 2026-03-24, leaves 880.0 g. A purchase takes 22 days, and orders are not known yet for 3.1 weeks of them: 70.0 g a week make 220.0 g, and 33.4 g more in case more is used or it comes late; 253.4 g is to be kept. It was used in 60 of 60 weeks; with so much known, such an amount lasts about 94 times in 100.`},
		{"all booked ahead", func(in *Input) { in.Notices = slices.Repeat([]Notice{{60, gram}}, fewNotices) }, `Lasts until 2026-08-09 with the expected use. 1000.0 g on hand. Customers order longer ahead than the 22 days that a purchase takes, so nothing more is to be kept. It was used in 60 of 60 weeks.`},
		{"on its way, too late", func(in *Input) {
			in.Spools[0].Mass, in.Receipts = 150*gram, []Receipt{{"P-1", "A", today + 20, 500 * gram}}
		}, `It runs out on 2026-03-18, 6 days before a purchase placed now is on the shelf on 2026-03-24; what is on its way is enough, but is not here in time. Hasten purchase P-1: its 500.0 g comes on 2026-03-22. 150.0 g on hand, and 500.0 g on order, leaves 650.0 g. A purchase takes 22 days: 70.0 g a week make 220.0 g, and 33.4 g more in case more is used or it comes late; 253.4 g is to be kept. It was used in 60 of 60 weeks; with so much known, such an amount lasts about 94 times in 100.`},
		{"past due", func(in *Input) {
			in.Spools[0].Mass, in.Receipts = 240*gram, []Receipt{{"P-1", "A", today - 9, 500 * gram}}
		}, `Lasts until 2026-03-26 with the expected use. Hasten purchase P-1: its 500.0 g was due on 2026-02-21, 9 days ago. 240.0 g on hand, and 500.0 g on order, leaves 740.0 g. A purchase takes 22 days: 70.0 g a week make 220.0 g, and 33.4 g more in case more is used or it comes late; 253.4 g is to be kept. It was used in 60 of 60 weeks; with so much known, such an amount lasts about 94 times in 100.`},
		{"never used", func(in *Input) { in.Usage = nil }, `Lasts more than a year. 1000.0 g on hand. It was never used, and no minimum is set for it.`},
		{"never used, a minimum", func(in *Input) { in.Usage, in.Wires[0].Minimum = nil, 1200*gram }, `Order today. 1000.0 g on hand. It was never used; 1200.0 g is to be kept, the minimum set for it. That is 200.0 g too little.`},
		{"never used, a set", func(in *Input) { in.Usage, in.Wires[0].LargestBatch = nil, 300*gram }, `Lasts more than a year. 1000.0 g on hand. It was never used; 300.0 g is to be kept, what the largest order of a standing set takes.`},
		{"used in one week", func(in *Input) {
			in.Usage = []stock.Usage{{On: today - 3, Wire: "A", Mass: 90 * gram}}
		}, `To be ordered by 2026-03-14. 1000.0 g on hand. A purchase takes 22 days: 67.5 g a week make 212.1 g, and 490.9 g more in case more is used or it comes late; 703.0 g is to be kept. It was used in 1 of 1 week, which is little; with so much known, such an amount lasts about 68 times in 100.`},
		{"no supplier named", func(in *Input) { in.Wires[0].Supplier = "" }, `Lasts until 2026-06-10 with the expected use. 1000.0 g on hand. A purchase takes 22 days: 70.0 g a week make 220.0 g, and 33.4 g more in case more is used or it comes late; 253.4 g is to be kept. It was used in 60 of 60 weeks; with so much known, such an amount lasts about 94 times in 100; no supplier is named for it, so the time of the slowest, slow, is taken.`},
		{"no suppliers", func(in *Input) { in.Wires[0].Supplier, in.Suppliers = "", nil }, `Lasts until 2026-06-10 with the expected use. 1000.0 g on hand. A purchase takes 30 days: 70.0 g a week make 300.0 g, and 117.0 g more in case more is used or it comes late; 417.0 g is to be kept. It was used in 60 of 60 weeks; with so much known, such an amount lasts about 94 times in 100; no supplier is named for it, so 28 days are taken for one.`},
		{"dead", func(in *Input) {
			in.Usage = []stock.Usage{{On: today - 400, Wire: "A", Mass: 10 * gram}}
		}, `Nothing to order. 1000.0 g on hand. It was last used on 2025-01-26, and nothing is booked; 986.7 g of it is beyond 365 days of use.`},
	} {
		in := shop()
		if c.change != nil {
			c.change(&in)
		}
		got := one(t, in).Why
		if got != c.want {
			t.Errorf("%s:\ngot  %s\nwant %s", c.name, got, c.want)
		}
		if strings.Contains(got, "gamma") || strings.Contains(got, "blocks") || strings.Contains(got, " 1 days") {
			t.Errorf("%s: %s", c.name, got)
		}
	}
}

func TestDue(t *testing.T) {
	for on, want := range map[calendar.Date]string{0: "order today", today: "order today", today - 1: "order at once, 1 day late",
		today - 12: "order at once, 12 days late", today + 1: "order by " + (today + 1).String()} {
		if got := Due(on, today); got != want {
			t.Errorf("%s: %q, want %q", on, got, want)
		}
	}
}
