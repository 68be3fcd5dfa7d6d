package stock

import (
	"errors"
	"fmt"
	"math"

	"windingroom/internal/measure"
)

// Scale is a scale by its smallest step, d.
type Scale struct{ Resolution measure.Mass }

// Refusals of a scale.
var (
	ErrScale    = errors.New("a scale's smallest step is above zero")
	ErrScaleOff = errors.New("the scale is off: have it adjusted before anything is weighed on it")
)

// Reading gives the standard uncertainty of one reading: d/√12, a reading being rounded to the step (rectangular
// distribution; GUM, JCGM 100:2008, 4.3.7 and F.2.2.1, from memory).
func (s Scale) Reading() Uncertainty { return Uncertainty(float64(s.Resolution) / math.Sqrt(12)) }

// Net gives the standard uncertainty of gross less tare, two readings: d/√6.
func (s Scale) Net() Uncertainty { return s.Reading().And(s.Reading()) }

// Repeats says whether two readings of one spool agree: rounding alone sets them at most one step apart.
func (s Scale) Repeats(first, second measure.Mass) bool { return abs(second-first) <= s.Resolution }

// CheckWeight compares what the scale shows with a weight whose mass is known, by the maintenance tolerance of accuracy
// class III with the scale's step for its verification interval. The error wraps ErrScaleOff.
func (s Scale) CheckWeight(weight, shown measure.Mass) error {
	if s.Resolution <= 0 {
		return fmt.Errorf("resolution %s: %w", s.Resolution, ErrScale)
	}
	if allowed := MaintenanceTolerance(s.Resolution, weight); abs(shown-weight) > allowed {
		return fmt.Errorf("a weight of %s reads %s, more than %s off: %w", weight, shown, allowed, ErrScaleOff)
	}
	return nil
}

// AcceptanceTolerance gives how far a new or newly adjusted scale of accuracy class III with verification interval e may be
// off under a load, rounded down to the milligram: 0.5 e up to 500 e, 1 e up to 2 000 e, 1.5 e up to 4 000 e and 2.5 e above
// (NIST Handbook 44, section 2.20, table 6, read in a weigh-module handbook).
func AcceptanceTolerance(e, load measure.Mass) measure.Mass { return MaintenanceTolerance(e, load) / 2 }

// MaintenanceTolerance gives how far a class III scale in use may be off under a load: twice the acceptance tolerance (NIST
// Handbook 44, section 2.20, from memory; the rule was read in a worked example).
func MaintenanceTolerance(e, load measure.Mass) measure.Mass {
	switch load = abs(load); {
	case load <= 500*e:
		return e
	case load <= 2_000*e:
		return 2 * e
	case load <= 4_000*e:
		return 3 * e
	}
	return 5 * e
}

func abs(m measure.Mass) measure.Mass {
	if m < 0 {
		return -m
	}
	return m
}
