package replenishment

import "math"

// trial is how often, with so many weeks of history, an order point that was set for 95 % lasted through four weeks.
type trial struct{ weeks, often, seldom float64 }

// trials is the least over the simulated demands of trials_test.go, a family twice too small among them; often is an interval between
// demands below 1.32 weeks. Demand there never changes, which flatters every rule: these are upper bounds.
var trials = []trial{
	{2, .79, .89}, {4, .83, .89}, {8, .87, .89}, {13, .915, .915}, {26, .93, .92}, {52, .94, .92}, {104, .94, .925},
}

// Achieved gives the confidence to show for one that was aimed at: what the trials reached, not what was asked for. Weeks of history
// count against the weeks to cover. Aims other than 95 % miss in the same proportion (judgement).
func (d Demand) Achieved(aim, cover float64) float64 {
	switch {
	case d.Method == OwnMinimum:
		return 0 // nothing is known
	case cover <= 0:
		return aim // all of it is booked ahead
	}
	weeks := d.Weeks * trialCover / cover
	achieved := 1 - (1-aim)*(1-reached(weeks, !d.Pattern.Seldom()))/(1-trialAim)
	return math.Round(achieved*1e4) / 1e4
}

// The aim and the weeks to cover of the trials.
const (
	trialAim   = .95
	trialCover = 4
)

// reached reads the table, straight between its rows. Below its first row nothing was tried: the first row falls to a coin's toss at no
// history at all.
func reached(weeks float64, often bool) float64 {
	before := trial{0, .5, .5}
	for _, t := range trials {
		if weeks < t.weeks {
			share := (weeks - before.weeks) / (t.weeks - before.weeks)
			return before.of(often) + share*(t.of(often)-before.of(often))
		}
		before = t
	}
	return before.of(often)
}

func (t trial) of(often bool) float64 {
	if often {
		return t.often
	}
	return t.seldom
}
