package winding

import (
	"errors"
	"fmt"
	"math"

	"windingroom/internal/material"
	"windingroom/internal/measure"
)

// MaxLayers is how many wraps a string may carry.
const MaxLayers = 3

// ErrGeometry says that a build cannot be wound. Errors that wrap it are Problems.
var ErrGeometry = errors.New("this string cannot be wound")

// Layer is one wrap.
type Layer struct {
	Form    material.Form
	Density measure.Density
	Lay     measure.Size // advance per turn; zero winds turn against turn
}

// Build is a core and what is wound on it, innermost first; no layers is a plain string.
type Build struct {
	Core        material.Form
	CoreDensity measure.Density
	Layers      []Layer
	BallEnd     bool
}

// Problems lists everything that keeps a build from being wound, each with its field ("layers[0].lay_thou").
type Problems material.FieldErrors

// Error lists the problems in one line.
func (p Problems) Error() string { return material.FieldErrors(p).Error() }

// Unwrap lets errors.Is find ErrGeometry.
func (p Problems) Unwrap() error { return ErrGeometry }

func (p *Problems) add(field, problem string) {
	*p = append(*p, material.FieldError{Field: field, Problem: problem})
}

// addForm takes over what Form.Check found, under the name of the part it belongs to.
func (p *Problems) addForm(part string, err error) {
	var all material.FieldErrors
	errors.As(err, &all)
	for _, e := range all {
		p.add(part+"."+e.Field, e.Problem)
	}
}

// check finds what is wrong with the wires of a build, before any geometry is computed. Problems of a lay come later, since
// they need the geometry.
func (b Build) check() Problems {
	var p Problems
	p.addForm("core", b.Core.Check())
	if b.Core.Section == material.Flat {
		p.add("core.section", "must be round or hex: a flat wire is no core")
	}
	if !positive(float64(b.CoreDensity)) {
		p.add("core.density_kg_m3", "must be more than zero")
	}
	if len(b.Layers) > MaxLayers {
		p.add("layers", fmt.Sprintf("must be at most %d", MaxLayers))
	}
	for i, l := range b.Layers {
		part := fmt.Sprintf("layers[%d]", i)
		p.addForm(part, l.Form.Check())
		if l.Form.Section == material.Hex {
			p.add(part+".section", "must be round or flat: a hex wire is no wrap")
		}
		if !positive(float64(l.Density)) {
			p.add(part+".density_kg_m3", "must be more than zero")
		}
		if l.Lay < 0 {
			p.add(part+".lay_thou", "must be more than zero, or missing for touching turns")
		}
	}
	return p
}

func positive(v float64) bool { return v > 0 && !math.IsInf(v, 1) }
