// Package fields reads JSON documents field by field, so that every field of the wrong kind and every one that is not known (a
// slip in a name would otherwise be a wrong answer) is listed, each by its path ("set[2].pitch").
package fields

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"windingroom/internal/material"
)

// Invalid lists every field that cannot be right, each once.
type Invalid material.FieldErrors

// Error lists the problems in one line.
func (v Invalid) Error() string { return material.FieldErrors(v).Error() }

// Add lists a field, unless something is already known to be wrong with it.
func (v *Invalid) Add(field, problem string) {
	if !slices.ContainsFunc(*v, func(e material.FieldError) bool { return e.Field == field }) {
		*v = append(*v, material.FieldError{Field: field, Problem: problem})
	}
}

// OrNil gives the list as an error, or nil when it is empty.
func (v Invalid) OrNil() error {
	if len(v) == 0 {
		return nil
	}
	return v
}

// Syntax says where a text stops being one JSON document; nil where it is one.
func Syntax(data []byte) error {
	var any json.RawMessage
	err := json.Unmarshal(data, &any)
	var at *json.SyntaxError
	if !errors.As(err, &at) {
		return err
	}
	before := data[:min(max(at.Offset, 0), int64(len(data)))]
	line := 1 + bytes.Count(before, []byte("\n"))
	column := len(before) - (bytes.LastIndexByte(before, '\n') + 1)
	return fmt.Errorf("is not JSON at line %d, column %d: %s", line, max(column, 1), strings.ToLower(at.Error()))
}

// Object is a JSON object of which fields are taken one by one.
type Object struct {
	path     string
	fields   map[string]json.RawMessage
	known    []string
	problems *Invalid
}

// Read opens an object at a path; empty for the document itself, which a problem then calls name.
func Read(path, name string, data json.RawMessage, problems *Invalid) *Object {
	o := &Object{path: path, problems: problems}
	if err := json.Unmarshal(data, &o.fields); err != nil {
		if path != "" {
			name = path
		}
		problems.Add(name, "must be an object in braces")
	}
	return o
}

// Path gives the path of a field.
func (o *Object) Path(name string) string {
	if o.path == "" {
		return name
	}
	return o.path + "." + name
}

// Names lists the fields that nobody has taken yet, in order.
func (o *Object) Names() []string { return slices.Sorted(maps.Keys(o.fields)) }

// Take reads a field into a variable; a missing or null one leaves it as it is. want says what would be right.
func (o *Object) Take(name string, into any, want string) {
	data, ok := o.fields[name]
	o.known = append(o.known, name)
	delete(o.fields, name)
	if !ok || string(data) == "null" {
		return
	}
	if err := json.Unmarshal(data, into); err != nil {
		o.problems.Add(o.Path(name), "must be "+want)
	}
}

// RefuseRest lists the fields that nobody took.
func (o *Object) RefuseRest() {
	for _, name := range o.Names() {
		o.problems.Add(o.Path(name), "is not a field here; known are "+strings.Join(o.known, ", "))
	}
}
