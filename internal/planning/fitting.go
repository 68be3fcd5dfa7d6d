package planning

import "windingroom/internal/catalog"

// none is the index of no wire: a layer a string does not have, or one of which nothing is known.
const none = -1

// fitting is what sits on a machine, or what a string wants there, in indices. Spools are left out: they are chosen once the
// sequence stands.
type fitting struct {
	core  int
	wraps [catalog.MaxWraps]int
	scale int64 // nm; zero where nothing is known
}

// rates are the setup times in ns.
type rates struct{ core, wrap, length, spool int64 }

func ratesOf(p catalog.Practice) rates {
	return rates{int64(p.ChangeCore), int64(p.ChangeWrap), int64(p.ChangeLength), int64(p.ChangeSpool)}
}

// load puts on a machine what a string wants and gives what that costs; layers the string does not have stay.
func (r rates) load(on *fitting, want *fitting) int64 {
	var cost int64
	if on.core != want.core {
		cost += r.core
		on.core = want.core
	}
	for i, w := range want.wraps {
		if w != none && w != on.wraps[i] {
			cost += r.wrap
			on.wraps[i] = w
		}
	}
	if on.scale != want.scale {
		cost += r.length
		on.scale = want.scale
	}
	return cost
}
