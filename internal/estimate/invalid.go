package estimate

import (
	"slices"

	"windingroom/internal/material"
)

// FieldError names a field by its JSON path ("layers[0].lay_thou") and says what would be right.
type FieldError = material.FieldError

// Invalid lists every field of a build that cannot be right, each once.
type Invalid material.FieldErrors

// Error lists the problems in one line.
func (v Invalid) Error() string { return material.FieldErrors(v).Error() }

// add lists a field, unless something is already known to be wrong with it.
func (v *Invalid) add(field, problem string) {
	if !slices.ContainsFunc(*v, func(e FieldError) bool { return e.Field == field }) {
		*v = append(*v, FieldError{Field: field, Problem: problem})
	}
}

// orNil gives the list as an error, or nil when it is empty.
func (v Invalid) orNil() error {
	if len(v) == 0 {
		return nil
	}
	return v
}
