package setwork

import (
	"windingroom/internal/catalog"
	"windingroom/internal/fields"
	"windingroom/internal/material"
)

// Propose fills in what a recipe made up from wires goes by until the shop knows better: the computed gauge to the half
// thousandth, and yield and minutes of the recipe nearest to it. The error is fields.Invalid.
func (r *Room) Propose(core material.WireCode, wraps []catalog.Wrap) (catalog.Recipe, error) {
	var problems fields.Invalid
	body := r.wire(string(core), "core", &problems)
	var layers []layer
	for i, w := range wraps {
		layers = append(layers, layer{r.wire(string(w.Wire), at("wraps", i)+".wire", &problems), w.Lay})
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
