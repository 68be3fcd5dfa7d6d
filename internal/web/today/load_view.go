package today

import (
	"fmt"
	"math"
	"strings"

	"windingroom/internal/batch"
	"windingroom/internal/measure"
	"windingroom/internal/units"
	"windingroom/internal/workshop"
)

// loadView is a wire to put on the machine.
type loadView struct {
	What     string // core, wrap 1
	Wire     string
	Alloy    string
	Spool    string // at the bench: that the next string is wound from
	Place    string
	Lot      string
	Switched bool
	Left     string // strings that the spool has wire for
	Short    bool
	Turns    string // empty for a core
	Lay      string // empty for touching turns
	Length   string
	After    string // diameter to find when it is on
}

func loadViews(u units.Units, s batch.Sheet) []loadView {
	all := []loadView{newLoad(u, "Core", s.Core)}
	for i, w := range s.Wraps {
		all = append(all, newLoad(u, fmt.Sprintf("Wrap %d", i+1), w))
	}
	return all
}

func newLoad(u units.Units, what string, l batch.Load) loadView {
	alloy, _, _ := strings.Cut(l.AlloyName, ",") // its standards are for who buys it
	v := loadView{What: what, Wire: string(l.Wire), Alloy: alloy, Length: u.Run(l.Length).String()}
	if l.Turns > 0 {
		v.Turns = fmt.Sprintf("%.0f", math.Ceil(l.Turns))
		v.After = u.Size(l.After).String()
		if l.Lay > 0 {
			v.Lay = u.Size(rounded(l.Lay)).String()
		}
	}
	return v
}

// rounded gives a computed length as a size, to the nanometre.
func rounded(l measure.Length) measure.Size {
	s, err := measure.SizeFromMillimetres(l.Millimetres())
	if err != nil {
		return 0 // beyond any lay that was ever reckoned with
	}
	return s
}

func onMachine(u units.Units, list []workshop.OnMachine) (all []loadView) {
	for i, on := range list {
		what := "Core"
		if i > 0 {
			what = fmt.Sprintf("Wrap %d", i)
		}
		v := newLoad(u, what, on.Load)
		v.Spool, v.Place, v.Lot, v.Switched, v.Short = string(on.Spool), on.Location, on.Lot, on.Switched, on.Short
		v.Left = fmt.Sprintf("wire for %d", on.Strings)
		all = append(all, v)
	}
	return all
}
