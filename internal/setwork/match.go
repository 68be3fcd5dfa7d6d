package setwork

import (
	"fmt"

	"windingroom/internal/fields"
	"windingroom/internal/material"
	"windingroom/internal/measure"
)

// mostAlternatives is how many strings are offered for a position.
const mostAlternatives = 5

// Match finds the same set in another alloy: for each position strings that pull as the present one does, nearest first, and
// one whole set. Wound strings come from the recipes and from core + wrap pairs that the shelf holds, within the shop's
// limits; those of two and three layers also from what recipes carry under their last wrap. Plain strings stay in their own
// alloy. The error is fields.Invalid and lists every field at fault.
//
// The recommended set holds no string above the breaking share at which the shop refuses: such a one is among the
// alternatives, with its caution. It leaves no position without a string where it can; then has fewest strings whose wire is
// not there, fewest that are wound otherwise than the present ones; and then the least sum of squared differences of tension.
func (r *Room) Match(q MatchRequest) (MatchAnswer, error) {
	var problems fields.Invalid
	positions := r.resolve(q.Set, "set", &problems)
	alloy := r.alloy(q.Alloy, &problems)
	within := tolerance(q.Tolerance, &problems)
	if !(q.PlainLighter >= 0 && q.PlainLighter <= 50) {
		problems.Add("plain_lighter_percent", "must be from 0 to 50")
	}
	made := runOf(q.Quantity, &problems)
	if len(problems) > 0 {
		return MatchAnswer{}, problems
	}
	answer := MatchAnswer{Alloy: string(alloy.Code)}
	options := make([][]*Alternative, len(positions))
	present := make([]*Alternative, len(positions))
	pools := r.pools(alloy, q.HeldOnly)
	for i := range positions {
		p := &positions[i]
		present[i] = r.at(*p, p.present)
		if p.present.Plain() {
			p.wanted *= measure.Force(1 - q.PlainLighter/100)
		}
		near, beyond := pools.of(p.present).near(*p, within, q.HeldOnly)
		options[i] = near
		answer.Positions = append(answer.Positions, r.positionAnswer(*p, present[i], near, beyond, q.MagneticPickup))
	}
	chosen := r.recommend(positions, options, q.HeldOnly)
	kept := r.keep(&chosen, present)
	set := r.setAnswer(positions, chosen, present, q.MagneticPickup, made)
	for i, stays := range kept {
		if set.Strings[i].Kept = stays; stays {
			set.Cautions = append(set.Cautions, r.keptCaution(positions[i], alloy, within, q.HeldOnly))
		}
	}
	answer.Recommended = set
	return answer, nil
}

// recommend chooses the whole set.
func (r *Room) recommend(positions []position, options [][]*Alternative, heldOnly bool) choice {
	return r.choose(r.bearable(options), heldOnly, func(i int, a *Alternative, served bool) grade {
		return r.closeness(a, served, positions[i].present)
	})
}

// keep lets the positions for which nothing was found keep their present strings, as far as the shelf serves them beside the
// others, and says which do.
func (r *Room) keep(c *choice, present []*Alternative) []bool {
	kept, taken := make([]bool, len(c.picks)), loads{}
	for i, a := range c.picks {
		if c.served[i] {
			r.shelf.take(taken, a.uses)
		}
	}
	for i, a := range c.picks {
		if a == nil {
			c.picks[i], kept[i] = present[i], true
			c.served[i] = present[i].Held && r.shelf.take(taken, present[i].uses)
		}
	}
	return kept
}

// closeness grades by tension, once a string is there, has its wire and is wound as the present one is.
func (r *Room) closeness(a *Alternative, served bool, present *Candidate) grade {
	if a == nil {
		return grade{1}
	}
	return grade{0, one(!served), one(!a.sameWinding(present)), 0, a.Off * a.Off}
}

// bearable leaves out the strings that the shop refuses for their breaking share.
func (r *Room) bearable(options [][]*Alternative) [][]*Alternative {
	all := make([][]*Alternative, len(options))
	for i, list := range options {
		for _, a := range list {
			if a.load(r) != refused {
				all[i] = append(all[i], a)
			}
		}
	}
	return all
}

func one(is bool) float64 {
	if is {
		return 1
	}
	return 0
}

// pools keeps the pools of one question, so that each is made once.
type pools struct {
	room     *Room
	alloy    material.AlloyCode
	heldOnly bool
	made     map[string]pool
}

func (r *Room) pools(alloy material.Alloy, heldOnly bool) pools {
	return pools{r, alloy.Code, heldOnly, map[string]pool{}}
}

// of gives the pool from which a string is replaced. A pair is made up only from wires that the shelf holds.
func (p pools) of(present *Candidate) pool {
	name := fmt.Sprint(present.Plain(), len(present.layers) > 1)
	if present.Plain() {
		name = "plain " + string(present.core.alloy.Code)
	}
	if _, made := p.made[name]; !made {
		if present.Plain() {
			p.made[name] = p.room.plain(present.core.alloy.Code, true)
		} else {
			p.made[name] = p.room.wound(p.alloy, len(present.layers) > 1, true)
		}
	}
	return p.made[name]
}
