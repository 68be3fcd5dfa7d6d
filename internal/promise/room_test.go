package promise

import (
	"fmt"
	"math/rand/v2"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/planning"
	"windingroom/internal/requirements"
	"windingroom/internal/stock"
)

// recipes is a bench that knows what it is told, whatever the scale length.
type recipes map[catalog.RecipeCode]requirements.Making

func (r recipes) Making(code catalog.RecipeCode, _ measure.Size) (requirements.Making, error) {
	m, ok := r[code]
	if !ok {
		return m, fmt.Errorf("recipe %q is not one of the shop's recipes", code)
	}
	return m, nil
}

const monday = calendar.Date(739_677) // 2026-03-02

// week is a shop that works from Monday to Friday.
func week() calendar.ShopDays {
	days, err := calendar.NewShopDays([]time.Weekday{time.Monday, time.Tuesday, time.Wednesday, time.Thursday, time.Friday}, nil)
	if err != nil {
		panic(err)
	}
	return days
}

func between(r *rand.Rand, least, most int) int { return least + r.IntN(most-least+1) }

func pick[T any](r *rand.Rand, list ...T) T { return list[r.IntN(len(list))] }

// kinds bounds a random shop: how full it is, and how much wire it has.
type kinds struct{ orders, days int }

// randomRoom is a small shop in some week: one to three machines, few wires, orders that are due soon or not, wire that is short and on
// its way.
func randomRoom(r *rand.Rand, k kinds) Room {
	room := Room{Shop: week()}
	in := &room.Input
	in.Practice = catalog.DefaultPractice()
	in.Practice.CompletionConfidence = pick(r, .5, .95)
	wires := []material.WireCode{"C0", "C1", "W0", "W1"}
	bench := recipes{}
	for i := range between(r, 1, 3) {
		m := requirements.Making{Core: pick(r, wires[:2]...), CoreCut: pick(r, measure.Size(700), 1100) * measure.Millimetre,
			Each: time.Duration(between(r, 2, 12)) * 30 * time.Second, Yield: pick(r, 1, .95, .8)}
		m.Uses = append(m.Uses, requirements.Use{Wire: m.Core, Each: measure.MassEach(between(r, 1000, 3000)) * 1_000_000})
		if r.IntN(3) > 0 {
			w := pick(r, wires[2:]...)
			m.Wraps = append(m.Wraps, w)
			m.Uses = append(m.Uses, requirements.Use{Wire: w, Each: measure.MassEach(between(r, 1000, 9000)) * 1_000_000})
		}
		bench[recipe(i)] = m
	}
	in.Bench = bench
	rich := pick(r, 60, 300, 1500)
	for _, w := range wires {
		end := measure.Mass(between(r, 0, 10)) * measure.Gram
		for i := range between(r, 1, 3) {
			b := stock.Balance{State: stock.Available, UsableEnd: end, Mass: measure.Mass(between(r, 1, rich*1000))}
			b.Code, b.Wire, b.ReceivedOn = stock.SpoolCode(fmt.Sprintf("%s-%d", w, i)), w, monday-calendar.Date(i)
			in.Spools = append(in.Spools, b)
		}
		for i := range between(r, 0, 2) {
			on := monday + calendar.Date(between(r, 0, 25))
			room.Receipts = append(room.Receipts, Receipt{Purchase: fmt.Sprintf("P-%s-%d", w, i), Wire: w, Stated: on, On: on,
				Mass: measure.Mass(between(r, 20, 500)) * measure.Gram, UsableEnd: end, Confidence: 1})
		}
	}
	for i := range between(r, 1, 2) {
		in.Machines = append(in.Machines, planning.Machine{Machine: catalog.Machine{Code: catalog.MachineCode(fmt.Sprintf("M%d", i)),
			Winds: pick(r, catalog.WindsBoth, catalog.WindsBoth, catalog.WindsBoth, catalog.WindsWound, catalog.WindsPlain), Longest: pick(r, measure.Size(900), 2000, 2000) * measure.Millimetre,
			PerDay: time.Duration(between(r, 45, 120)) * time.Minute}})
	}
	if r.IntN(8) > 0 {
		in.Machines[0].Winds, in.Machines[0].Longest = catalog.WindsBoth, 2000*measure.Millimetre
	}
	in.Date = monday + calendar.Date(r.IntN(5))
	for o := range between(r, 0, k.orders) {
		in.Demands = append(in.Demands, anOrder(r, order.Code(fmt.Sprintf("O%d", o)), in.Date+calendar.Date(between(r, -1, 12)), len(bench))...)
	}
	for i := range k.days {
		room.Days = append(room.Days, Day{Date: room.Shop.AddWorkdays(in.Date, i)})
	}
	return room
}

func recipe(i int) catalog.RecipeCode { return catalog.RecipeCode(fmt.Sprintf("R%d", i)) }

func anOrder(r *rand.Rand, code order.Code, due calendar.Date, known int) (demands []requirements.Demand) {
	quantity := between(r, 1, 6)
	if r.IntN(8) == 0 {
		quantity = between(r, 12, 30) // more than a day's work
	}
	for p := range between(r, 1, 2) {
		demands = append(demands, requirements.Demand{Order: code, DueOn: due, Line: 1, Position: p + 1, Recipe: recipe(r.IntN(known)),
			Scale: measure.Size(pick(r, 620, 650)) * measure.Millimetre, Strings: quantity})
	}
	return demands
}

// wound is the simulation that promises are held against, by itself: the planner is asked day by day, what it plans is wound as planned,
// and receipts are on the shelf on their stated day. It gives the day on which each order's last string is wound.
func wound(room Room, demands []requirements.Demand, days int) map[order.Code]calendar.Date {
	in := room.Input
	idle := false
	left := append([]requirements.Demand(nil), demands...)
	spools := append([]stock.Balance(nil), in.Spools...)
	arrived := map[int]bool{}
	done := map[order.Code]calendar.Date{}
	for i := range days {
		in.Date = room.Shop.AddWorkdays(room.Input.Date, i)
		for k, rc := range room.Receipts {
			if rc.Stated <= in.Date && !arrived[k] {
				arrived[k] = true
				b := stock.Balance{State: stock.Available, UsableEnd: rc.UsableEnd, Mass: rc.Mass}
				b.Code, b.Wire, b.ReceivedOn = stock.SpoolCode(fmt.Sprintf("on its way %d", k+1)), rc.Wire, rc.On
				spools = append(spools, b)
				idle = false
			}
		}
		if idle {
			continue
		}
		idle = true
		in.Spools, in.Demands = spools, left
		plan, err := planning.Propose(in)
		if err != nil {
			panic(err)
		}
		in.Machines = append([]planning.Machine(nil), in.Machines...)
		for m, day := range plan.Machines {
			in.Machines[m].Loaded = day.After
			for _, b := range day.Batches {
				idle = false
				for _, d := range b.Draws {
					for s := range spools {
						if spools[s].Code == d.Spool {
							spools[s].Mass -= d.Mass
						}
					}
				}
				for _, sv := range b.Serves {
					for k := range left {
						if l := &left[k]; l.Order == sv.Order && l.Line == sv.Line && l.Position == sv.Position {
							l.Strings -= sv.Strings
						}
					}
				}
			}
		}
		open := map[order.Code]bool{}
		for _, l := range left {
			open[l.Order] = open[l.Order] || l.Strings > 0
		}
		all := true
		for _, l := range left {
			if _, known := done[l.Order]; !open[l.Order] && !known {
				done[l.Order] = in.Date
			}
			all = all && !open[l.Order]
		}
		if all {
			break
		}
	}
	return done
}
