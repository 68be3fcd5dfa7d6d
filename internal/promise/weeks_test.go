package promise

import (
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"sync"
	"testing"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/order"
	"windingroom/internal/requirements"
)

// weeks is how many random weeks are tried: all of them in CI.
func weeks() int {
	if os.Getenv("CI") == "true" {
		return 1000
	}
	return 100
}

// workdaysBetween counts the working days from one to another.
func workdaysBetween(shop calendar.ShopDays, from, to calendar.Date) (n int) {
	for from < to {
		from = shop.NextWorkday(from)
		n++
	}
	return n
}

// told gathers what the weeks said.
type told struct {
	sync.Mutex
	planned, beyond []int // working days later than the earliest that a simulation reaches, sorted at the end
	none            map[What]int
	second          int
}

// A promise is never earlier than the day on which a simulation of the same days, which the promise knows nothing of, has the order
// wound: held to the promised day, it is complete by then. Nor does an order that was there before become late by it. A second order
// promised after the first one was confirmed does not make that one late either, nor is it late itself.
func TestPromisesAreKeptInRandomWeeks(t *testing.T) {
	const sides = 2
	all, began := &told{none: map[What]int{}}, time.Now()
	t.Run("weeks", func(t *testing.T) {
		for side := range sides {
			t.Run(fmt.Sprint(side), func(t *testing.T) {
				t.Parallel()
				for seed := side; seed < weeks(); seed += sides {
					all.week(t, uint64(seed))
				}
			})
		}
	})
	slices.Sort(all.planned)
	slices.Sort(all.beyond)
	t.Logf("%d weeks in %s: %d promised within the planned days, %d beyond, not at all for %v; %d second orders",
		weeks(), time.Since(began).Round(time.Second), len(all.planned), len(all.beyond), all.none, all.second)
	t.Logf("working days later than the earliest that a simulation reaches with the order before all others: planned median %d, 90%% %d; beyond median %d, 90%% %d",
		at(all.planned, .5), at(all.planned, .9), at(all.beyond, .5), at(all.beyond, .9))
	if len(all.planned) == 0 || len(all.beyond) == 0 || len(all.none) == 0 || all.second == 0 {
		t.Error("the weeks say little")
	}
}

// week promises two orders in a random room, one after the other, and simulates what becomes of all.
func (all *told) week(t *testing.T, seed uint64) {
	r := rand.New(rand.NewPCG(seed, 7))
	room := randomRoom(r, kinds{orders: 4, days: 12})
	room.Look = pick(r, 1, 2, 3, 6)
	asked := Asked{Order: "N1", DueOn: room.Input.Date + calendar.Date(between(r, 0, 20))}
	asked.Demands = anOrder(r, asked.Order, asked.DueOn, len(room.Input.Bench.(recipes)))
	a := promised(t, seed, room, asked)
	all.Lock()
	defer all.Unlock()
	if a.On.IsZero() {
		all.none[a.Decides.What]++
		return
	}
	all.Unlock()
	before := wound(room, room.Input.Demands, simulated)
	with := check(t, seed, room, asked, a.On, before)
	earliest := wound(room, held(room, asked, room.Input.Date), simulated)[asked.Order]
	if a.Holds != a.On {
		with = check(t, seed, room, asked, a.Holds, before)
	}
	room.Input.Demands = held(room, asked, a.Holds)
	second := Asked{Order: "N2", DueOn: room.Input.Date + calendar.Date(between(r, 0, 20))}
	second.Demands = anOrder(r, second.Order, second.DueOn, len(room.Input.Bench.(recipes)))
	b := promised(t, seed, room, second)
	if !b.On.IsZero() {
		check(t, seed, room, second, b.On, with)
	}
	all.Lock()
	late := workdaysBetween(room.Shop, earliest, a.On)
	if a.Planned {
		all.planned = append(all.planned, late)
	} else {
		all.beyond = append(all.beyond, late)
	}
	if !b.On.IsZero() {
		all.second++
	}
}

// simulated is how many working days a simulation goes on at most.
const simulated = 120

// promised asks for a day; one that cannot be given has a reason.
func promised(t *testing.T, seed uint64, room Room, asked Asked) Answer {
	t.Helper()
	a, err := room.Promise(asked)
	if err != nil {
		t.Fatalf("week %d: %v", seed, err)
	}
	if a.On.IsZero() && (a.Decides.What == "" || a.Decides.What == Nothing) {
		t.Errorf("week %d: no promise and no reason: %+v", seed, a)
	}
	return a
}

func at(sorted []int, share float64) int {
	if len(sorted) == 0 {
		return -1
	}
	return sorted[int(share*float64(len(sorted)-1))]
}

// held gives the room's demands with an order held to a day.
func held(room Room, a Asked, to calendar.Date) []requirements.Demand {
	all := slices.Clone(room.Input.Demands)
	for _, d := range a.Demands {
		d.DueOn = to
		all = append(all, d)
	}
	return all
}

// check simulates the room with an order held to a day and gives when everything is wound.
func check(t *testing.T, seed uint64, room Room, a Asked, to calendar.Date, before map[order.Code]calendar.Date) map[order.Code]calendar.Date {
	t.Helper()
	after := wound(room, held(room, a, to), simulated)
	if on, ok := after[a.Order]; !ok || on > to {
		t.Errorf("week %d: %s is promised for %s and wound on %s, %v", seed, a.Order, to, on, ok)
	}
	for _, d := range room.Input.Demands {
		was, complete := before[d.Order]
		if !complete {
			continue
		}
		if was > d.DueOn && was > room.Days[len(room.Days)-1].Date {
			continue // late already, and nobody has planned that day
		}
		if now, ok := after[d.Order]; !ok || now > max(d.DueOn, was) {
			t.Errorf("week %d: %s, due %s, was wound on %s, and with %s promised for %s on %s, %v", seed, d.Order, d.DueOn, was, a.Order, to, now, ok)
		}
	}
	return after
}
