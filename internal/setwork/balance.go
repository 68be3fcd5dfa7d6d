package setwork

import (
	"fmt"
	"math"
	"slices"

	"windingroom/internal/fields"
	"windingroom/internal/measure"
)

// BalanceAnswer is what can be made towards wanted tensions.
type BalanceAnswer struct {
	Positions []BalancePosition `json:"positions"`
	Answers   []SetAnswer       `json:"answers" doc:"Whole sets: the best by closeness, by wire on hand and by cost; one that is the best by several is there once. None where no string comes near at any position."`
}

// BalancePosition is one string of the wanted set.
type BalancePosition struct {
	Position     int                 `json:"position"`
	ScaleIn      float64             `json:"scale_in"`
	FrequencyHz  float64             `json:"frequency_hz"`
	WantedN      float64             `json:"wanted_tension_n"`
	Alternatives []AlternativeAnswer `json:"alternatives" doc:"Nearest to the wanted tension first, at most five."`
	Beyond       *AlternativeAnswer  `json:"nearest_beyond_tolerance,omitempty"`
}

// Balance finds makeable strings that pull as wanted, in gauges as wires and the shop's limits give them. It answers with the
// best whole set by each of three measures. By closeness: the least sum of squared differences. By wire on hand: fewest
// strings whose wire is not there, then closeness. By cost: the least cost of wire within the tolerance. No measure takes a
// string above the breaking share at which the shop refuses. The error is fields.Invalid and lists every field at fault.
func (r *Room) Balance(q BalanceRequest) (BalanceAnswer, error) {
	var problems fields.Invalid
	positions := make([]position, len(q.Set))
	for i, s := range q.Set {
		positions[i] = placed(i, s.ScaleIn, s.Pitch, at("set", i)+".", &problems)
	}
	if len(q.Set) == 0 {
		problems.Add("set", "must list at least one string")
	}
	alloy := r.alloy(q.Alloy, &problems)
	within := tolerance(q.Tolerance, &problems)
	r.want(q, positions, &problems)
	made := runOf(q.Quantity, &problems)
	if len(problems) > 0 {
		return BalanceAnswer{}, problems
	}
	wound, plain := r.wound(alloy.Code, true, q.HeldOnly).list, r.plain("", q.HeldOnly).list
	var answer BalanceAnswer
	options := make([][]*Alternative, len(positions))
	for i, p := range positions {
		from := pool{room: r}
		if kind := q.Set[i].Plain; kind == nil || !*kind {
			from.list = append(from.list, wound...)
		}
		if kind := q.Set[i].Plain; kind == nil || *kind {
			from.list = append(from.list, plain...)
		}
		near, beyond := from.near(p, within, q.HeldOnly)
		options[i] = near
		line := BalancePosition{Position: p.number, ScaleIn: p.scale.Inches(), FrequencyHz: float64(p.pitch), WantedN: float64(p.wanted),
			Alternatives: []AlternativeAnswer{}}
		for _, a := range near[:min(len(near), mostAlternatives)] {
			line.Alternatives = append(line.Alternatives, r.alternativeAnswer(a, nil, q.MagneticPickup))
		}
		if len(near) == 0 && beyond != nil {
			b := r.alternativeAnswer(beyond, nil, q.MagneticPickup)
			line.Beyond = &b
		}
		answer.Positions = append(answer.Positions, line)
	}
	answer.Answers = r.bestBy(positions, options, q, made)
	return answer, nil
}

// measures are what a whole set may be the best by. The last number of a grade by closeness or wire is that of the tensions.
func (r *Room) measures() []struct {
	by    string
	judge judge
} {
	there := func(a *Alternative, rest grade) grade {
		if a == nil {
			return grade{1}
		}
		return rest
	}
	return []struct {
		by    string
		judge judge
	}{
		{"closeness", func(_ int, a *Alternative, _ bool) grade {
			return there(a, grade{4: square(a)})
		}},
		{"wire on hand", func(_ int, a *Alternative, served bool) grade {
			return there(a, grade{1: one(!served), 4: square(a)})
		}},
		{"cost", func(_ int, a *Alternative, _ bool) grade {
			return there(a, grade{1: expense(a), 4: square(a)})
		}},
	}
}

func square(a *Alternative) float64 {
	if a == nil {
		return 0
	}
	return a.Off * a.Off
}

// expense is the cost of the wire; a cost that is unknown comes after every other.
func expense(a *Alternative) float64 {
	if a == nil || math.IsNaN(a.cost) {
		return math.MaxFloat32
	}
	return a.cost
}

func (r *Room) bestBy(positions []position, options [][]*Alternative, q BalanceRequest, made run) []SetAnswer {
	answers := []SetAnswer{}
	var seen [][]*Alternative
	options = r.bearable(options)
	for _, m := range r.measures() {
		c := r.choose(options, q.HeldOnly, m.judge)
		if !slices.ContainsFunc(c.picks, func(a *Alternative) bool { return a != nil }) {
			break // no string at all: the positions say what comes nearest
		}
		if i := slices.IndexFunc(seen, func(other []*Alternative) bool { return slices.Equal(other, c.picks) }); i >= 0 {
			answers[i].By += ", " + m.by
			continue
		}
		seen = append(seen, c.picks)
		c.served = r.served(c.picks)
		set := r.setAnswer(positions, c, nil, q.MagneticPickup, made)
		set.By = m.by
		answers = append(answers, set)
	}
	return answers
}

// served says which strings the shelf serves, in the order of their positions.
func (r *Room) served(picks []*Alternative) []bool {
	served, taken := make([]bool, len(picks)), loads{}
	for i, a := range picks {
		served[i] = a != nil && r.shelf.take(taken, a.uses)
	}
	return served
}

// want sets the wanted tensions: the same on each string, evenly from the first to the last, or those of a reference.
func (r *Room) want(q BalanceRequest, positions []position, problems *fields.Invalid) {
	ways := 0
	for _, given := range []bool{q.Equal != nil, q.First != nil || q.Last != nil, q.Reference.is()} {
		ways += int(one(given))
	}
	if ways != 1 {
		problems.Add("equal_n", "one of equal_n, first_n with last_n, and reference says what tension is wanted")
		return
	}
	switch {
	case q.Equal != nil:
		r.slope(*q.Equal, *q.Equal, "equal_n", "equal_n", positions, problems)
	case q.Reference.is():
		reference := r.resolve(q.Reference, "reference", problems)
		if len(reference) != len(positions) {
			problems.Add("reference", fmt.Sprintf("must have as many strings as the set: %d", len(positions)))
			return
		}
		for i := range positions {
			positions[i].wanted = reference[i].wanted
		}
	case q.First == nil || q.Last == nil:
		problems.Add("first_n", "is given together with last_n")
	default:
		r.slope(*q.First, *q.Last, "first_n", "last_n", positions, problems)
	}
}

// greatestTension bounds what is taken for the tension of a string, in newtons; beyond it a unit was mistaken.
const greatestTension = 10_000

func (r *Room) slope(first, last float64, firstName, lastName string, positions []position, problems *fields.Invalid) {
	for _, end := range []struct {
		name string
		n    float64
	}{{firstName, first}, {lastName, last}} {
		if !(end.n > 0 && end.n <= greatestTension) {
			problems.Add(end.name, fmt.Sprintf("must be a tension in newtons, above 0 and at most %d", greatestTension))
		}
	}
	for i := range positions {
		share := float64(i) / float64(max(1, len(positions)-1))
		positions[i].wanted = measure.Force(first + share*(last-first))
	}
}
