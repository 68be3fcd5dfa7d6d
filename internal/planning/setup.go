package planning

import (
	"slices"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/requirements"
	"windingroom/internal/stock"
)

// Place is where a wire sits on a machine: the wire and the spool it comes from. Zero means nothing known.
type Place struct {
	Wire  material.WireCode
	Spool stock.SpoolCode
}

// Loaded is what is on a machine. The zero value means that nothing is known of it.
type Loaded struct {
	Core  Place
	Wraps [catalog.MaxWraps]Place // innermost first
	Scale measure.Size            // the length it is set to
}

// SetupOf gives the setup of a batch on a machine and what is loaded after it.
//
// Core, each wrap layer and the scale length are paid for where they differ from what is loaded; a layer the string does not
// have stays as it is. A wire already in one of its places from another spool than the batch's first pays one change of
// spool, and every further spool of a wire inside the batch pays one. The spool of a newly loaded wire comes with it.
func SetupOf(on Loaded, m requirements.Making, scale measure.Size, draws []batch.Draw, p catalog.Practice) (time.Duration, Loaded) {
	var setup time.Duration
	after := on
	spools := spoolsOf(draws)
	for _, u := range m.Uses {
		own := spools[u.Wire]
		if len(own) == 0 {
			continue
		}
		setup += time.Duration(len(own)-1) * p.ChangeSpool
		if on.swaps(m, u.Wire, own[0]) {
			setup += p.ChangeSpool
		}
	}
	last := func(w material.WireCode) Place {
		own := spools[w]
		if len(own) == 0 {
			return Place{Wire: w}
		}
		return Place{Wire: w, Spool: own[len(own)-1]}
	}
	if on.Core.Wire != m.Core {
		setup += p.ChangeCore
	}
	after.Core = last(m.Core)
	for i, w := range m.Wraps {
		if on.Wraps[i].Wire != w {
			setup += p.ChangeWrap
		}
		after.Wraps[i] = last(w)
	}
	if on.Scale != scale {
		setup += p.ChangeLength
	}
	after.Scale = scale
	return setup, after
}

// swaps says whether the string finds a wire in one of its places, but not from the spool that the batch begins with.
func (on Loaded) swaps(m requirements.Making, wire material.WireCode, first stock.SpoolCode) bool {
	found, same := false, false
	look := func(p Place, want material.WireCode) {
		if want == wire && p.Wire == wire {
			found = true
			same = same || p.Spool == first
		}
	}
	look(on.Core, m.Core)
	for i, w := range m.Wraps {
		look(on.Wraps[i], w)
	}
	return found && !same
}

// spoolsOf lists each wire's spools in the order they are used. A spool returned to later counts again.
func spoolsOf(draws []batch.Draw) map[material.WireCode][]stock.SpoolCode {
	spools := make(map[material.WireCode][]stock.SpoolCode, 2)
	for _, d := range draws {
		own := spools[d.Wire]
		if len(own) == 0 || own[len(own)-1] != d.Spool {
			spools[d.Wire] = append(slices.Clip(own), d.Spool)
		}
	}
	return spools
}
