package estimate

import (
	"encoding/json"
	"slices"

	"windingroom/internal/fields"
	"windingroom/internal/winding"
)

// Decode reads a build from one JSON document. Every field of the wrong kind, and every field that is not known (a slip in
// a name would otherwise be a wrong answer), is listed in the error, which is Invalid.
func Decode(data []byte) (Build, error) {
	var problems Invalid
	var b Build
	if err := fields.Syntax(data); err != nil {
		problems.Add("build", err.Error())
		return Build{}, problems
	}
	top := fields.Read("", "build", data, &problems)
	top.Take("ball_end", &b.BallEnd, "true or false")
	top.Take("scale_in", &b.ScaleIn, "a number of inches such as 25.5")
	top.Take("pitch", &b.Pitch, "a note such as A2 or a number of hertz")
	var core json.RawMessage
	if top.Take("core", &core, "an object"); core != nil {
		o := fields.Read("core", "", core, &problems)
		takeWire(o, &b.Core)
		o.RefuseRest()
	}
	var layers []json.RawMessage
	top.Take("layers", &layers, "a list of wraps, innermost first")
	for i, data := range layers[:min(len(layers), winding.MaxLayers+1)] { // one too many is enough to be refused
		var l Layer
		o := fields.Read(layerPath(i), "", data, &problems)
		takeWire(o, &l.Wire)
		o.Take("lay_thou", &l.LayThou, "a number of thousandths of an inch, or null for touching turns")
		o.RefuseRest()
		b.Layers = append(b.Layers, l)
	}
	b.Practice = takePractice(top, &problems)
	top.RefuseRest()
	return b, problems.OrNil()
}

func takeWire(o *fields.Object, w *Wire) {
	o.Take("alloy", &w.Alloy, "the code of an alloy in quotes")
	o.Take("section", &w.Section, "round, hex or flat")
	o.Take("size_thou", &w.SizeThou, "a number of thousandths of an inch")
	o.Take("thickness_thou", &w.ThicknessThou, "a number of thousandths of an inch")
	o.Take("across", &w.Across, "flats or corners")
}

// takePractice reads the settings; which of them are known is judged by Of.
func takePractice(o *fields.Object, problems *Invalid) Practice {
	var data json.RawMessage
	if o.Take("practice", &data, "an object of settings"); data == nil {
		return nil
	}
	settings := fields.Read("practice", "", data, problems)
	p := make(Practice, len(settings.Names()))
	for _, name := range settings.Names() {
		if slices.Contains(otherSettings, name) {
			continue
		}
		var v *float64
		settings.Take(name, &v, "a number")
		p[name] = v
	}
	return p
}
