package setwork

import (
	"fmt"
	"strings"

	"windingroom/internal/catalog"
	"windingroom/internal/fields"
)

// spelled gives how a string of a set is made: by its recipe, or from core and wraps. Wires that a recipe winds turn against turn are
// that recipe. path is what goes before the names of fields; nil where it cannot be.
func (r *Room) spelled(s SetString, path string, problems *fields.Invalid) *Candidate {
	switch c, known := r.recipe(s.Recipe); {
	case s.Recipe != "" && s.Core != "":
		problems.Add(path+"recipe", "is given beside a core: one of them says how the string is made")
	case s.Recipe == "" && s.Core == "":
		problems.Add(path+"recipe", "is needed: the code of a recipe in quotes, or a core with its wraps")
	case s.Recipe != "" && !known:
		problems.Add(path+"recipe", fmt.Sprintf("%q is not a recipe of this shop", s.Recipe))
	case s.Recipe != "":
		return c
	default:
		return r.madeUp(s, path, problems)
	}
	return nil
}

func (r *Room) madeUp(s SetString, path string, problems *fields.Invalid) *Candidate {
	before := len(*problems)
	core := r.wire(s.Core, path+"core", problems)
	if core != nil && !core.alloy.Core {
		problems.Add(path+"core", fmt.Sprintf("%s is of %s, which is no core alloy", core.Code, core.alloy.Code))
	}
	if len(s.Wraps) > catalog.MaxWraps {
		problems.Add(path+"wraps", fmt.Sprintf("must be at most %d", catalog.MaxWraps))
	}
	var layers []layer
	for i, code := range s.Wraps {
		w := r.wire(code, path+at("wraps", i), problems)
		if w != nil && !w.alloy.Wrap {
			problems.Add(path+at("wraps", i), fmt.Sprintf("%s is of %s, which is no wrap alloy", w.Code, w.alloy.Code))
		}
		layers = append(layers, layer{wire: w})
	}
	if len(*problems) > before {
		return nil
	}
	for _, c := range r.recipes {
		if c.sameWires(core, layers) {
			return c
		}
	}
	c, err := newCandidate(core, layers, true)
	if err != nil {
		problems.Add(path+"core", "with these wraps: "+err.Error())
		return nil
	}
	r.adopt(c)
	return c
}

// wire finds a wire by its code, without case.
func (r *Room) wire(code, path string, problems *fields.Invalid) *stocked {
	for i := range r.wires {
		if key(r.wires[i].Code) == key(code) {
			return &r.wires[i]
		}
	}
	problems.Add(path, fmt.Sprintf("%q is not a wire of this shop", code))
	return nil
}

// name gives what people call the string: its recipe, or its wires from the core outwards.
func (c *Candidate) name() string {
	if c.Recipe != "" {
		return string(c.Recipe)
	}
	codes := []string{string(c.core.Code)}
	for _, l := range c.layers {
		codes = append(codes, string(l.wire.Code))
	}
	return strings.Join(codes, " + ")
}
