package sets

import (
	"errors"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"windingroom/internal/catalog"
	"windingroom/internal/estimate"
	"windingroom/internal/measure"
	"windingroom/internal/problem"
	"windingroom/internal/setwork"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// bench is what lies on the bench, as the address says it: string, pitch and scale once for each string; length is the scale of those
// that name none.
type bench struct {
	rows   []row
	length string
	pickup bool
	with   string // the set beside it: a standing one's code, or one spelled out by text
}

// row is one string as it is typed: a recipe, or core + wraps.
type row struct{ made, pitch, scale string }

// The number of strings that the bench has rows for.
const (
	fewest = 6
	most   = 12
	bound  = 24 // rows that are read at all: what the engine takes
)

func readBench(q url.Values) bench {
	b := bench{length: strings.TrimSpace(q.Get("length")), pickup: q.Get("pickup") == "yes", with: q.Get("with")}
	made, pitches, scales := q["string"], q["pitch"], q["scale"]
	for i := range min(bound, max(len(made), len(pitches), len(scales))) {
		b.rows = append(b.rows, row{nth(made, i), nth(pitches, i), nth(scales, i)})
	}
	return b
}

func nth(list []string, i int) string {
	if i >= len(list) {
		return ""
	}
	return strings.Join(strings.Fields(list[i]), " ")
}

// standing lays a standing set on the bench and itself beside it, to see what changes.
func standing(s catalog.Set, u units.Units) bench {
	b := bench{with: string(s.Code)}
	if len(s.Positions) > 0 {
		b.length = scaleText(s.Positions[0].Scale, u)
	}
	for _, p := range s.Positions {
		one := row{made: string(p.Recipe), pitch: p.Pitch}
		if text := scaleText(p.Scale, u); text != b.length {
			one.scale = text
		}
		b.rows = append(b.rows, one)
	}
	return b
}

// scaleText gives a scale to its last digit, as a form takes it.
func scaleText(s measure.Size, u units.Units) string {
	if u.Metric {
		return s.MillimetreText()
	}
	return s.InchText()
}

func (b bench) values() url.Values {
	v := url.Values{}
	for _, r := range b.rows {
		v.Add("string", r.made)
		v.Add("pitch", r.pitch)
		v.Add("scale", r.scale)
	}
	for name, value := range map[string]string{"length": b.length, "with": b.with} {
		if value != "" {
			v.Set(name, value)
		}
	}
	if b.pickup {
		v.Set("pickup", "yes")
	}
	return v
}

// path gives an address with what is on the bench, and further pairs of name and value.
func (b bench) path(to string, more ...string) string {
	v := b.values()
	for i := 0; i+1 < len(more); i += 2 {
		v.Set(more[i], more[i+1])
	}
	if len(v) == 0 {
		return to
	}
	return to + "?" + v.Encode()
}

// hidden keeps what is on the bench in another form, but for names that the form has itself.
func (b bench) hidden(without ...string) []page.Pair {
	var all []page.Pair
	v := b.values()
	for _, name := range []string{"string", "pitch", "scale", "length", "with", "pickup"} {
		for _, value := range v[name] {
			if !slices.Contains(without, name) {
				all = append(all, page.Pair{Name: name, Value: value})
			}
		}
	}
	return all
}

// taking gives the bench with another string in a row, from 1.
func (b bench) taking(number int, made string) bench {
	b.rows = slices.Clone(b.rows)
	if number >= 1 && number <= len(b.rows) {
		b.rows[number-1].made = made
	}
	return b
}

// used is how many rows hold something, counted to the last that does.
func (b bench) used() int {
	n := len(b.rows)
	for n > 0 && b.rows[n-1] == (row{}) {
		n--
	}
	return n
}

// text spells the set out on one line, as with takes it.
func (b bench) text() string {
	var all []string
	for _, r := range b.rows[:b.used()] {
		scale := r.scale
		if scale == "" {
			scale = b.length
		}
		all = append(all, r.made+"@"+r.pitch+"@"+scale)
	}
	return strings.Join(all, ";")
}

// beside reads what with names: a standing set, or a set as text spells it.
func (b bench) beside(parts workshop.SetParts, u units.Units) (setwork.SetOf, error) {
	if !strings.Contains(b.with, "@") {
		return setwork.SetOf{Standing: b.with}, nil
	}
	var other bench
	for i, part := range strings.Split(b.with, ";") {
		fields := strings.Split(part, "@")
		if i >= bound || len(fields) != 3 {
			return setwork.SetOf{}, problem.At("with", errors.New("cannot be read; choose the set beside it anew"))
		}
		other.rows = append(other.rows, row{fields[0], fields[1], fields[2]})
	}
	set, wrong := other.set(parts, u)
	if len(wrong) > 0 {
		return setwork.SetOf{}, problem.At("with", errors.New("cannot be read; choose the set beside it anew"))
	}
	return set, nil
}

// wrongs is what is wrong with the bench: by the name of a field, such as pitch-3.
type wrongs map[string]string

func (w wrongs) add(kind string, number int, text string) {
	name := fmt.Sprintf("%s-%d", kind, number)
	if w[name] == "" {
		w[name] = text
	}
}

// set gives what is on the bench as the engine takes it.
func (b bench) set(parts workshop.SetParts, u units.Units) (set setwork.SetOf, wrong wrongs) {
	wrong = wrongs{}
	for i, r := range b.rows[:b.used()] {
		s := madeOf(r.made, parts)
		s.Pitch = estimate.Pitch(r.pitch)
		if r.made == "" {
			wrong.add("string", i+1, "is needed: a recipe, or core + wraps")
		}
		if r.pitch == "" {
			wrong.add("pitch", i+1, "is needed: a note such as E4")
		}
		scale := r.scale
		if scale == "" {
			scale = b.length
		}
		if size, err := u.ParseScale(scale); err != nil || size <= 0 {
			wrong.add("scale", i+1, fmt.Sprintf("is needed, or one for all strings: a number of %s", u.LengthUnit()))
		} else {
			s.ScaleIn = size.Inches()
		}
		set.Strings = append(set.Strings, s)
	}
	return set, wrong
}

// madeOf reads how a string is made: core + wraps, else a recipe, else a plain wire.
func madeOf(text string, parts workshop.SetParts) (s setwork.SetString) {
	wires := strings.Split(text, "+")
	for i := range wires {
		wires[i] = strings.TrimSpace(wires[i])
	}
	recipe := slices.ContainsFunc(parts.Recipes, func(c catalog.Recipe) bool { return strings.EqualFold(string(c.Code), wires[0]) })
	for _, w := range parts.Wires {
		if len(wires) == 1 && !recipe && strings.EqualFold(string(w.Code), wires[0]) {
			s.Core = wires[0]
			return s
		}
	}
	if len(wires) == 1 {
		s.Recipe = wires[0]
		return s
	}
	s.Core, s.Wraps = wires[0], wires[1:]
	return s
}

// take notes what the engine refused beside the fields of the bench. What names none of them comes back.
func (w wrongs) take(err error) (rest []string, other error) {
	p := problem.From(err)
	if len(p.Errors) == 0 {
		return nil, err
	}
	for _, e := range p.Errors {
		var i int
		var field string
		if n, _ := fmt.Sscanf(e.Location, "set[%d].%s", &i, &field); n < 2 {
			rest = append(rest, e.Location+": "+e.Message)
			continue
		}
		kind := "string"
		switch field {
		case "pitch":
			kind = "pitch"
		case "scale_in":
			kind = "scale"
		}
		w.add(kind, i+1, e.Message)
	}
	return rest, nil
}
