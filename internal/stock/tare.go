package stock

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"windingroom/internal/measure"
)

// SpoolType is a kind of empty spool with the tare that weighing empty ones has taught.
type SpoolType struct {
	Name    string
	Tare    measure.Mass // mean of the empty spools, to the milligram
	Single  Uncertainty  // of one spool about the mean: standard deviation
	Weighed int          // empty spools it was learned from
}

// ErrTare says that a mass is no tare of a spool type: more likely wire was left on it, or it is another type.
var ErrTare = errors.New("more likely wire left on it, or a spool of another type")

// What is believed of spools of one type before many were weighed. Judgement, no source: moulded spools of one type differ by
// about 2 %, which counts like three spools weighed; a quarter off is another spool.
const (
	usualSpread  = 0.02
	usualWeight  = 3
	absurdOffset = 4 // a tare may be off by one part in so many
)

// LearnTare learns the tare of a spool type from the masses of empty spools. Their standard deviation is pooled with what is
// usual, so that two spools that happen to agree do not pass for exact (normal model with a scaled inverse chi-squared prior;
// Gelman et al., Bayesian Data Analysis, section 2.6, from memory). It refuses the list with ErrTare where a mass is zero or
// less or lies more than a quarter from the median of the list, naming it.
func LearnTare(name string, empties []measure.Mass) (SpoolType, error) {
	if len(empties) == 0 {
		return SpoolType{}, fmt.Errorf("spool type %s: no empty spool was weighed", name)
	}
	middle := SpoolType{Name: name, Tare: median(empties), Weighed: len(empties)}
	var sum measure.Mass
	for _, m := range empties {
		if err := middle.Check(m); err != nil {
			return SpoolType{}, err
		}
		sum += m
	}
	n := float64(len(empties))
	mean := float64(sum) / n
	squares := usualWeight * math.Pow(usualSpread*mean, 2)
	for _, m := range empties {
		off := float64(m) - mean
		squares += float64(off * off)
	}
	return SpoolType{
		Name: name, Tare: measure.Mass(math.Round(mean)), Weighed: len(empties),
		Single: Uncertainty(math.Sqrt(squares / (usualWeight + n - 1))),
	}, nil
}

// Spread gives how far the tare of a spool that was not weighed empty may be off the nominal tare of its type, k = 2: the
// deviation of one spool about a mean that n spools taught, s·√(1 + 1/n).
func (t SpoolType) Spread() measure.Mass {
	if t.Weighed == 0 {
		return 0
	}
	return Uncertainty(float64(t.Single) * math.Sqrt(1+1/float64(t.Weighed))).Expanded()
}

// Check refuses a mass that can hardly be the tare of a spool of this type; before anything was weighed, only zero or less.
func (t SpoolType) Check(tare measure.Mass) error {
	switch {
	case tare <= 0:
		return fmt.Errorf("spool type %s: tare %s: a mass above zero is wanted: %w", t.Name, tare, ErrTare)
	case t.Weighed > 0 && absurdOffset*abs(tare-t.Tare) > t.Tare:
		return fmt.Errorf("spool type %s: tare %s is more than a quarter off the usual %s: %w", t.Name, tare, t.Tare, ErrTare)
	}
	return nil
}

func median(list []measure.Mass) measure.Mass {
	sorted := slices.Sorted(slices.Values(list))
	return sorted[len(sorted)/2]
}
