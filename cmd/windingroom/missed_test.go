package main

import (
	"fmt"
	"maps"
	"math"
	"strings"
)

// evening is a machine when its day's batches are wound.
type evening struct {
	on    loaded
	clock float64
	last  string // recipe@scale of its last batch
}

// missed looks for strings left out of which one fits at the end of a machine's day, each wire from one spool that has enough and
// that no other machine needs from then on. Behind a batch of the same strings one would have to make that batch larger.
func (c *checker) missed(plan planDoc, evenings map[string]evening, drawn map[string]int64, estimate func(string) []byte) {
	c.t.Helper()
	for _, n := range plan.NotPlanned {
		key := c.makes[fmt.Sprintf("%s/%d/%d", n.Order, n.Line, n.Position)]
		recipe, text, _ := strings.Cut(key, "@")
		scale := number(c.t, text)
		for name, e := range evenings {
			if e.last == key || !c.takes(name, recipe, scale) {
				continue
			}
			toWind := smallest(1, number(c.t, c.recipes[recipe]["yield"]), c.setting["completion_confidence"])
			setup, ok := c.atTheEnd(plan, name, e, recipe, scale, toWind, drawn, estimate)
			end := e.clock + setup + float64(toWind)*number(c.t, c.recipes[recipe]["minutes_each"])
			if ok && end <= number(c.t, c.machines[name]["minutes_per_day"]) {
				c.t.Errorf("order %s line %d position %d, left out for %s (%s): one fits at the end of %s, from %v to %v min", n.Order, n.Line, n.Position, n.Why, n.Detail, name, e.clock, end)
			}
		}
	}
}

// takes says whether a machine winds strings of a recipe at a scale length.
func (c *checker) takes(machine, recipe string, scale float64) bool {
	row, wraps := c.machines[machine], len(c.wraps(recipe))
	return c.cut(recipe, scale) <= number(c.t, row["longest_mm"]) && (row["winds"] != "plain" || wraps == 0) && (row["winds"] != "wound" || wraps > 0)
}

// cut gives the core cut of a string in mm.
func (c *checker) cut(recipe string, scale float64) float64 {
	cut := c.setting["head_mm"] + scale*25.4 + c.setting["tail_mm"] + c.setting["chuck_waste_mm"]
	if c.recipes[recipe]["ball_end"] == "yes" {
		cut += c.setting["ball_end_allowance_mm"]
	}
	return cut
}

// atTheEnd gives the least setup of a further batch on a machine in the evening, if there is a spool of each wire for it.
func (c *checker) atTheEnd(plan planDoc, machine string, e evening, recipe string, scale float64, toWind int, drawn map[string]int64, estimate func(string) []byte) (setup float64, ok bool) {
	on := loaded{e.on.wire, maps.Clone(e.on.spool), e.on.scale}
	setup = c.setup(&on, recipe, scale, c.wraps(recipe))
	for wire, each := range c.each(recipe, scale, estimate) {
		least := math.Inf(1)
		for spool, row := range c.spools {
			net := math.Round((number(c.t, row["gross_g"]) - number(c.t, row["tare_g"])) * 1000)
			if row["wire"] != wire || net < number(c.t, c.wires[wire]["usable_end_g"])*1000 || net-float64(drawn[spool]) < each*float64(toWind)+1 || neededAfter(plan, spool, machine, e.clock) {
				continue
			}
			if on.spool[wire] != "" && on.spool[wire] != spool {
				least = min(least, c.setting["change_spool_min"])
			} else {
				least = 0
			}
		}
		setup += least
	}
	return setup, !math.IsInf(setup, 1)
}

// neededAfter says whether another machine needs a spool after a time.
func neededAfter(plan planDoc, spool, machine string, clock float64) bool {
	for _, m := range plan.Machines {
		for _, b := range m.Batches {
			for _, d := range b.Draws {
				if d.Spool == spool && m.Machine != machine && b.Ends > clock {
					return true
				}
			}
		}
	}
	return false
}
