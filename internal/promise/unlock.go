package promise

import (
	"cmp"
	"slices"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
)

// minutesMore are the daily minutes of overtime that are tried.
var minutesMore = []int{30, 60, 120}

// Earlier tries what the shop might do for an order beside what it has planned, and gives what would make its day earlier, or
// possible, each tried by a brief search: minutes of overtime a day on the machine that decides, the receipt that decides coming earlier, an overdue one
// coming on the next working day, or buying what is missing today. lead is how many days that takes of each wire from today to the shelf;
// a wire without one cannot be bought.
func (r Room) Earlier(asked Asked, a Answer, today calendar.Date, lead map[material.WireCode]int) ([]Unlock, error) {
	var list []Unlock
	try := func(room Room, u Unlock) (bool, Reason, error) {
		b, err := room.briefly().Promise(asked)
		if err != nil || b.On.IsZero() || !a.On.IsZero() && b.On >= a.On {
			return false, b.Decides, err
		}
		u.On = b.On
		list = append(list, u)
		return true, Reason{}, nil
	}
	if err := r.overtime(a, try); err != nil {
		return nil, err
	}
	if err := r.wire(asked, a, today, lead, try); err != nil {
		return nil, err
	}
	slices.SortStableFunc(list, func(a, b Unlock) int { return cmp.Compare(a.On, b.On) })
	return list, nil
}

// attempt finds the day in a room, notes it where it is an earlier one, and says whether it is, or what decides still.
type attempt func(Room, Unlock) (found bool, why Reason, err error)

// overtime tries minutes more each day on the machine that decides.
func (r Room) overtime(a Answer, try attempt) error {
	if a.Decides.What != ByTime && a.Decides.What != ByOrders {
		return nil
	}
	tries := minutesMore
	if a.Decides.Machine == "" { // it may be any
		tries = []int{60}
	}
	for i, m := range r.Input.Machines {
		if m.Code != a.Decides.Machine && a.Decides.Machine != "" {
			continue
		}
		for _, minutes := range tries {
			found, _, err := try(r.longer(i, minutes), Unlock{How: Overtime, Machine: m.Code, Minutes: minutes})
			if err != nil {
				return err
			}
			if found {
				break
			}
		}
	}
	return nil
}

// longer gives the room with a machine worked some minutes longer each day.
func (r Room) longer(machine, minutes int) Room {
	more := time.Duration(minutes) * time.Minute
	r.Input.Machines = slices.Clone(r.Input.Machines)
	m := &r.Input.Machines[machine]
	m.PerDay += more
	if n := len(m.Shifts); n > 0 {
		m.Shifts = slices.Clone(m.Shifts)
		m.Shifts[n-1].Till += more
	}
	return r
}

// wire tries to have the wire earlier that decides.
func (r Room) wire(asked Asked, a Answer, today calendar.Date, lead map[material.WireCode]int, try attempt) error {
	if late := r.overdueFor(asked); len(late.Receipts) > len(r.Receipts) {
		rc := late.Receipts[len(late.Receipts)-1]
		if _, _, err := try(late, Unlock{How: Arrives, Receipt: &rc}); err != nil {
			return err
		}
	}
	if rc := a.Decides.Receipt; rc != nil {
		if i := slices.Index(r.Receipts, *rc); i >= 0 {
			sooner := r
			sooner.Receipts = slices.Clone(r.Receipts)
			next := r.Shop.NextWorkday(today)
			sooner.Receipts[i].On = next
			if _, _, err := try(sooner, Unlock{How: EarlierWire, Receipt: rc, Days: int(rc.On - next)}); err != nil {
				return err
			}
		}
	}
	if a.Decides.What != ByWire && a.Decides.What != Arrival {
		return nil
	}
	return r.buy(asked, a, today, lead, try)
}

// mostBought bounds how often more is bought in one try.
const mostBought = 3

// buy tries to buy today the wires that are short, or where one is on its way what the order needs of it; where the orders before it take
// that, what all of them lack; then what is short still when that is there.
func (r Room) buy(asked Asked, a Answer, today calendar.Date, lead map[material.WireCode]int, try attempt) error {
	lacks := a.Decides.Lacks
	if a.Decides.What == Arrival {
		lacks = []Lack{{a.Decides.Wire, r.needs(asked)[a.Decides.Wire]}}
	}
	u := Unlock{How: Buy}
	for range mostBought {
		if !u.add(lacks, lead) {
			return nil
		}
		bought := r
		bought.Receipts = slices.Clone(r.Receipts)
		for _, b := range u.Buys {
			on := today + calendar.Date(b.Days)
			bought.Receipts = append(bought.Receipts, Receipt{Wire: b.Wire, Stated: on, On: on, Mass: b.Mass})
		}
		found, why, err := try(bought, u)
		if err != nil || found {
			return err
		}
		if lacks = why.Whole; len(lacks) == 0 {
			lacks = why.Lacks
		}
	}
	return nil
}

// add puts what is short to what is bought; it says whether all of it can be bought.
func (u *Unlock) add(lacks []Lack, lead map[material.WireCode]int) bool {
	for _, l := range lacks {
		days, known := lead[l.Wire]
		if !known {
			return false
		}
		if i := slices.IndexFunc(u.Buys, func(b Bought) bool { return b.Wire == l.Wire }); i >= 0 {
			u.Buys[i].Mass += l.Mass
		} else {
			u.Buys = append(u.Buys, Bought{l.Wire, l.Mass, days})
		}
	}
	return len(lacks) > 0
}

// needs gives what an order may take of each wire at most.
func (r Room) needs(asked Asked) map[material.WireCode]measure.Mass {
	s := r.search(asked)
	needs := map[material.WireCode]measure.Mass{}
	for _, d := range asked.Demands {
		for _, n := range s.need(d) {
			needs[n.Wire] += n.Mass
		}
	}
	return needs
}

// overdueFor gives the room with the overdue receipts of the order's wires coming on its second day.
func (r Room) overdueFor(asked Asked) Room {
	needs := r.needs(asked)
	r.Receipts = slices.Clone(r.Receipts)
	for _, rc := range r.Overdue {
		if needs[rc.Wire] > 0 {
			rc.On = r.Shop.NextWorkday(r.Days[0].Date)
			r.Receipts = append(r.Receipts, rc)
		}
	}
	return r
}
