package setwork

import (
	"fmt"

	"windingroom/internal/catalog"
	"windingroom/internal/fields"
	"windingroom/internal/material"
)

// Propose fills in what a recipe made up from wires goes by until the shop knows better: the computed gauge to the half
// thousandth, and yield and minutes of the recipe nearest to it. The error is fields.Invalid.
func (r *Room) Propose(core material.WireCode, wraps []catalog.Wrap) (catalog.Recipe, error) {
	var problems fields.Invalid
	find := func(code material.WireCode, path string) *stocked {
		for i := range r.wires {
			if key(r.wires[i].Code) == key(code) {
				return &r.wires[i]
			}
		}
		problems.Add(path, fmt.Sprintf("%q is not a wire of this shop", code))
		return nil
	}
	body := find(core, "core")
	var layers []layer
	for i, w := range wraps {
		layers = append(layers, layer{find(w.Wire, at("wraps", i)+".wire"), w.Lay})
	}
	if len(problems) > 0 {
		return catalog.Recipe{}, problems
	}
	c, err := newCandidate(body, layers, true)
	if err != nil {
		return catalog.Recipe{}, err
	}
	r.adopt(c)
	out := catalog.Recipe{Gauge: c.Nominal, Core: body.Code, Wraps: c.wraps(), BallEnd: true, Yield: c.Yield, MinutesEach: c.MinutesEach}
	return out, nil
}
