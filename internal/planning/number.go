package planning

import (
	"cmp"
	"slices"

	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/stock"
)

// number gives every wire and scale an index and fills in fittings, uses and spools. Nothing depends on which index a wire
// gets except ties, and those follow the sorted names.
func (s *shop) number(balances []stock.Balance) {
	wires := map[material.WireCode]int{"": none}
	id := func(code material.WireCode) int {
		i, ok := wires[code]
		if !ok {
			i = len(s.wires)
			wires[code] = i
			s.wires = append(s.wires, wire{code: code})
		}
		return i
	}
	for i := range s.groups {
		g := &s.groups[i]
		g.fitting = fit(id, g.making.Core, g.making.Wraps, int64(g.scale))
		for _, u := range g.making.Uses {
			w := id(u.Wire)
			g.uses = append(g.uses, use{w, u.Each})
			if u.Each > s.wires[w].each {
				s.wires[w].each, s.wires[w].cut = u.Each, g.making.CoreCut
			}
		}
	}
	home := map[stock.SpoolCode]int{}
	for i, m := range s.machines {
		wraps := make([]material.WireCode, catalog.MaxWraps)
		for l, p := range m.Loaded.Wraps {
			wraps[l] = p.Wire
			home[p.Spool] = i
		}
		home[m.Loaded.Core.Spool] = i
		s.starts = append(s.starts, fit(id, m.Loaded.Core.Wire, wraps, int64(m.Loaded.Scale)))
	}
	s.shelve(balances, wires, home)
}

// shelve puts the drawable spools under their wires, oldest first.
func (s *shop) shelve(balances []stock.Balance, wires map[material.WireCode]int, home map[stock.SpoolCode]int) {
	s.shelf = make(map[stock.SpoolCode]place, len(balances))
	sorted := slices.Clone(balances)
	slices.SortFunc(sorted, func(a, b stock.Balance) int {
		return cmp.Or(cmp.Compare(a.ReceivedOn, b.ReceivedOn), cmp.Compare(a.Code, b.Code))
	})
	for _, b := range sorted {
		i, wanted := wires[b.Wire]
		if !wanted || i == none {
			continue
		}
		if b.Remnant() && b.State != stock.Quarantined {
			s.wires[i].ends += max(0, b.Free())
		}
		if b.Drawable() <= 0 {
			continue
		}
		at, loaded := home[b.Code]
		if !loaded {
			at = none
		}
		w := &s.wires[i]
		s.shelf[b.Code] = place{i, len(w.spools)}
		w.spools = append(w.spools, spool{code: b.Code, lot: b.Lot, free: b.Drawable(), usable: b.UsableEnd, home: at})
		w.total += b.Drawable()
	}
}

func fit(id func(material.WireCode) int, core material.WireCode, wraps []material.WireCode, scale int64) fitting {
	f := fitting{core: id(core), wraps: [catalog.MaxWraps]int{none, none, none}, scale: scale}
	for i, w := range wraps {
		f.wraps[i] = id(w)
	}
	return f
}
