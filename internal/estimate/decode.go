package estimate

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"windingroom/internal/winding"
)

// Decode reads a build from one JSON document. Every field of the wrong kind, and every field that is not known (a slip in
// a name would otherwise be a wrong answer), is listed in the error, which is Invalid.
func Decode(data []byte) (Build, error) {
	var problems Invalid
	var b Build
	if err := syntax(data); err != nil {
		problems.add("build", err.Error())
		return Build{}, problems
	}
	top := readObject("", data, &problems)
	top.take("ball_end", &b.BallEnd, "true or false")
	top.take("scale_in", &b.ScaleIn, "a number of inches such as 25.5")
	top.take("pitch", &b.Pitch, "a note such as A2 or a number of hertz")
	var core json.RawMessage
	if top.take("core", &core, "an object"); core != nil {
		o := readObject("core", core, &problems)
		o.takeWire(&b.Core)
		o.refuseRest()
	}
	var layers []json.RawMessage
	top.take("layers", &layers, "a list of wraps, innermost first")
	for i, data := range layers[:min(len(layers), winding.MaxLayers+1)] { // one too many is enough to be refused
		var l Layer
		o := readObject(layerPath(i), data, &problems)
		o.takeWire(&l.Wire)
		o.take("lay_thou", &l.LayThou, "a number of thousandths of an inch, or null for touching turns")
		o.refuseRest()
		b.Layers = append(b.Layers, l)
	}
	b.Practice = top.takePractice()
	top.refuseRest()
	return b, problems.orNil()
}

// syntax says where a text stops being one JSON document.
func syntax(data []byte) error {
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

// object is a JSON object of which fields are taken one by one.
type object struct {
	path     string
	fields   map[string]json.RawMessage
	known    []string
	problems *Invalid
}

func readObject(path string, data json.RawMessage, problems *Invalid) *object {
	o := &object{path: path, problems: problems}
	if err := json.Unmarshal(data, &o.fields); err != nil {
		name := path
		if name == "" {
			name = "build"
		}
		problems.add(name, "must be an object in braces")
	}
	return o
}

func (o *object) field(name string) string {
	if o.path == "" {
		return name
	}
	return o.path + "." + name
}

// take reads a field into a variable; a missing or null one leaves it as it is.
func (o *object) take(name string, into any, want string) {
	data, ok := o.fields[name]
	o.known = append(o.known, name)
	delete(o.fields, name)
	if !ok || string(data) == "null" {
		return
	}
	if err := json.Unmarshal(data, into); err != nil {
		o.problems.add(o.field(name), "must be "+want)
	}
}

func (o *object) takeWire(w *Wire) {
	o.take("alloy", &w.Alloy, "the code of an alloy in quotes")
	o.take("section", &w.Section, "round, hex or flat")
	o.take("size_thou", &w.SizeThou, "a number of thousandths of an inch")
	o.take("thickness_thou", &w.ThicknessThou, "a number of thousandths of an inch")
	o.take("across", &w.Across, "flats or corners")
}

// takePractice reads the settings; which of them are known is judged by Of.
func (o *object) takePractice() Practice {
	var data json.RawMessage
	if o.take("practice", &data, "an object of settings"); data == nil {
		return nil
	}
	settings := readObject("practice", data, o.problems)
	p := make(Practice, len(settings.fields))
	for _, name := range slices.Sorted(maps.Keys(settings.fields)) {
		if slices.Contains(otherSettings, name) {
			continue
		}
		var v *float64
		settings.take(name, &v, "a number")
		p[name] = v
	}
	return p
}

// refuseRest lists the fields that nobody took.
func (o *object) refuseRest() {
	for _, name := range slices.Sorted(maps.Keys(o.fields)) {
		o.problems.add(o.field(name), "is not a field here; known are "+strings.Join(o.known, ", "))
	}
}
