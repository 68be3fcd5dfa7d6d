package requirements

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
)

const weekOne calendar.Date = 739_000

// weeks books masses on days a week apart, leaving out zeros.
func weeks(masses ...measure.Mass) []Flow {
	var flows []Flow
	for i, m := range masses {
		if m != 0 {
			flows = append(flows, Flow{weekOne + calendar.Date(7*i), m})
		}
	}
	return flows
}

// byWeek reads a projection week by week.
func byWeek(read func(calendar.Date) measure.Mass, count int) []measure.Mass {
	var list []measure.Mass
	for i := range count {
		list = append(list, read(weekOne+calendar.Date(7*i)))
	}
	return list
}

// Published check: Orlicky, Material Requirements Planning, figures 7-2 to 7-7 (read in a copy).
func TestNettingAsPublished(t *testing.T) {
	p := Project(weekOne, 23, weeks(0, 0, 30), weeks(0, 20, 0, 25, 0, 15, 12, 0))
	if got, want := byWeek(p.Balance, 8), []measure.Mass{23, 3, 33, 8, 8, -7, -19, -19}; !slices.Equal(got, want) {
		t.Errorf("projected on hand %v, want %v", got, want)
	}
	if got, want := p.Net(), weeks(0, 0, 0, 0, 0, 7, 12); !slices.Equal(got, want) {
		t.Errorf("net requirements %v, want %v", got, want)
	}
}

// Published check: Stevenson, Operations Management, pumps (read in a copy; balance and later ATP computed from its data): 64
// on hand, lots of 70 scheduled where the balance with the greater of forecast and orders would fall below zero.
var pumps = struct {
	onHand, lot      measure.Mass
	forecast, orders []measure.Mass
	schedule         []measure.Mass // in weeks 3, 5, 7 and 8
	balance          []measure.Mass
	discrete         []measure.Mass // ATP by the dictionary's rule
}{
	onHand: 64, lot: 70,
	forecast: []measure.Mass{30, 30, 30, 30, 40, 40, 40, 40},
	orders:   []measure.Mass{33, 20, 10, 4, 2, 0, 0, 0},
	schedule: []measure.Mass{0, 0, 70, 0, 70, 0, 70, 70},
	balance:  []measure.Mass{31, 1, 41, 11, 41, 1, 31, 61},
	discrete: []measure.Mass{11, 0, 56, 0, 68, 0, 70, 70},
}

// discreteATP is the dictionary's rule: in the first period on hand and scheduled less orders until the next scheduled
// receipt; in a later period with a receipt, the receipt less orders until the next; nothing otherwise.
func discreteATP(onHand measure.Mass, schedule, orders []measure.Mass) []measure.Mass {
	list := make([]measure.Mass, len(orders))
	at := 0
	for i := range orders {
		if i > 0 && schedule[i] > 0 {
			at = i
		}
		if i == 0 {
			list[at] += onHand
		}
		list[at] += schedule[i] - orders[i]
	}
	return list
}

func TestPumpsAsPublished(t *testing.T) {
	schedule, greater := make([]measure.Mass, 8), make([]measure.Mass, 8)
	balance := pumps.onHand
	for i := range greater {
		greater[i] = max(pumps.forecast[i], pumps.orders[i])
		if balance -= greater[i]; balance < 0 {
			schedule[i] = pumps.lot
			balance += pumps.lot
		}
	}
	if !slices.Equal(schedule, pumps.schedule) {
		t.Fatalf("schedule %v, want %v", schedule, pumps.schedule)
	}
	if got := byWeek(Project(weekOne, pumps.onHand, weeks(schedule...), weeks(greater...)).Balance, 8); !slices.Equal(got, pumps.balance) {
		t.Errorf("projected balance %v, want %v", got, pumps.balance)
	}
	if got := discreteATP(pumps.onHand, schedule, pumps.orders); !slices.Equal(got, pumps.discrete) {
		t.Errorf("discrete ATP %v, want %v", got, pumps.discrete)
	}
}

// Where no period's figure is below zero, the cumulative one is the sum of the published figures up to each week.
func TestPumpsMayBePromised(t *testing.T) {
	p := Project(weekOne, pumps.onHand, weeks(pumps.schedule...), weeks(pumps.orders...))
	var want []measure.Mass
	var sum measure.Mass
	for _, d := range pumps.discrete {
		sum += d
		want = append(want, sum)
	}
	if got := byWeek(p.Promise, 8); !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	for mass, week := range map[measure.Mass]int{11: 0, 12: 2, 67: 2, 68: 4, 275: 7} {
		if on, ok := p.Earliest(mass); !ok || on != weekOne+calendar.Date(7*week) {
			t.Errorf("%d may be taken on %s, %v; want week %d", mass, on, ok, week+1)
		}
	}
	if on, ok := p.Earliest(276); ok {
		t.Errorf("276 was promised for %s", on)
	}
}

// The trap of figures by period: 35 of 69 ordered arrive, so the first period must keep 34 back. Cut off at zero, the 34
// would be promised twice.
func TestALaterNeedIsKeptBack(t *testing.T) {
	p := Project(weekOne, 50, weeks(0, 35), weeks(0, 69))
	if got, want := byWeek(p.Promise, 2), []measure.Mass{16, 16}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

func TestProjectFromToday(t *testing.T) {
	yesterday, tomorrow := weekOne-1, weekOne+1
	p := Project(weekOne, 100, []Flow{{yesterday, 50}, {tomorrow, 20}}, []Flow{{yesterday, 30}, {tomorrow, 40}})
	for on, want := range map[calendar.Date]measure.Mass{yesterday: 70, weekOne: 70, tomorrow: 50, tomorrow + 9: 50} {
		if got := p.Balance(on); got != want {
			t.Errorf("balance on %s: %d, want %d", on, got, want)
		}
	}
	if got := p.Promise(weekOne); got != 50 {
		t.Errorf("promise %d, want 50", got)
	}
	if nothing := (Projection{}); nothing.Promise(weekOne) != 0 || nothing.Balance(weekOne) != 0 || nothing.Net() != nil {
		t.Error("something of nothing")
	}
	if got := Project(weekOne, 10, nil, []Flow{{tomorrow, 40}}); got.Promise(weekOne) != -30 || !slices.Equal(got.Net(), []Flow{{tomorrow, 30}}) {
		t.Errorf("promised %d too much, net %v", got.Promise(weekOne), got.Net())
	}
}

func someFlows(t *rapid.T, label string) []Flow {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Flow {
		return Flow{weekOne + calendar.Date(rapid.IntRange(0, 12).Draw(t, "day")), measure.Mass(rapid.Int64Range(0, 100).Draw(t, "mass"))}
	}), 0, 8).Draw(t, label)
}

const lastDay = weekOne + 14

// The definition, by adding up afresh for every day from t on.
func TestPromiseIsTheLeastBalanceAhead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		onHand := measure.Mass(rapid.Int64Range(0, 200).Draw(t, "on hand"))
		receipts, orders := someFlows(t, "receipts"), someFlows(t, "orders")
		p := Project(weekOne, onHand, receipts, orders)
		until := func(flows []Flow, on calendar.Date) (sum measure.Mass) {
			for _, f := range flows {
				if f.On <= on {
					sum += f.Mass
				}
			}
			return sum
		}
		for on := weekOne; on <= lastDay; on++ {
			least := onHand + until(receipts, on) - until(orders, on)
			if p.Balance(on) != least {
				t.Fatalf("balance on %s: %d, want %d", on, p.Balance(on), least)
			}
			for u := on; u <= lastDay; u++ {
				least = min(least, onHand+until(receipts, u)-until(orders, u))
			}
			if p.Promise(on) != least {
				t.Fatalf("promise on %s: %d, want %d", on, p.Promise(on), least)
			}
		}
	})
}

// Whoever asks, for whatever day: once each request that fits is booked, no day's balance falls below zero, and the promise
// given away is gone from that day on.
func TestTheSameWireIsNeverPromisedTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		onHand := measure.Mass(rapid.Int64Range(0, 200).Draw(t, "on hand"))
		receipts := someFlows(t, "receipts")
		var orders []Flow
		for _, want := range someFlows(t, "requests") {
			before := Project(weekOne, onHand, receipts, orders)
			if before.Promise(want.On) < want.Mass {
				continue
			}
			orders = append(orders, want)
			after := Project(weekOne, onHand, receipts, orders)
			for on := weekOne; on <= lastDay; on++ {
				if after.Balance(on) < 0 {
					t.Fatalf("after %v the balance of %s is %d", orders, on, after.Balance(on))
				}
				if on >= want.On && after.Promise(on) != before.Promise(on)-want.Mass {
					t.Fatalf("%v took %d of the promise on %s", want, before.Promise(on)-after.Promise(on), on)
				}
			}
		}
	})
}

func TestAReceiptNeverLowersAPromise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		onHand := measure.Mass(rapid.Int64Range(0, 200).Draw(t, "on hand"))
		receipts, orders, more := someFlows(t, "receipts"), someFlows(t, "orders"), someFlows(t, "more")
		before := Project(weekOne, onHand, receipts, orders)
		after := Project(weekOne, onHand, append(slices.Clone(receipts), more...), orders)
		for i := range more {
			more[i].On++
		}
		later := Project(weekOne, onHand, append(slices.Clone(receipts), more...), orders)
		for on := weekOne; on <= lastDay; on++ {
			if after.Promise(on) < before.Promise(on) || later.Promise(on) < before.Promise(on) || later.Promise(on) > after.Promise(on) {
				t.Fatalf("%s: %d without, %d with, %d with them a day later", on, before.Promise(on), after.Promise(on), later.Promise(on))
			}
			if on > weekOne && before.Promise(on) < before.Promise(on-1) {
				t.Fatalf("less may be promised on %s than the day before", on)
			}
		}
	})
}

// Gross − on hand − receipts = net where the plan ends at or below everything before (Orlicky's reconciliation); in general net
// covers exactly the lowest balance, so that with it no day is short.
func TestNetRequirementsReconcile(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		onHand := measure.Mass(rapid.Int64Range(0, 200).Draw(t, "on hand"))
		receipts, orders := someFlows(t, "receipts"), someFlows(t, "orders")
		p := Project(weekOne, onHand, receipts, orders)
		total := func(flows []Flow) (sum measure.Mass) {
			for _, f := range flows {
				sum += f.Mass
			}
			return sum
		}
		net := p.Net()
		if lowest := p.Promise(weekOne); total(net) != max(-lowest, 0) {
			t.Errorf("net %v, lowest balance %d", net, lowest)
		}
		if end := p.Balance(lastDay); end <= 0 && end == p.Promise(weekOne) && total(net) != total(orders)-onHand-total(receipts) {
			t.Errorf("net %d, gross %d, on hand %d, receipts %d", total(net), total(orders), onHand, total(receipts))
		}
		if covered := Project(weekOne, onHand, append(receipts, net...), orders); covered.Promise(weekOne) < 0 || covered.Net() != nil {
			t.Errorf("with the net requirements %v the balance falls to %d", net, covered.Promise(weekOne))
		}
	})
}
