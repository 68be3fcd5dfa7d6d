package sets

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"windingroom/internal/measure"
	"windingroom/internal/stringdesign"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
)

// do takes a step that the bench's buttons ask for. What cannot be read is marked in the form, and the bench stays as it is.
func (b bench) do(what string, f *page.Form, u units.Units) bench {
	switch what {
	case "tune":
		return b.tuned(f.Get("tuning"))
	case "move":
		return b.moved(page.Read(f, "semitones", semitones))
	case "fan":
		treble, bass := page.Read(f, "treble", u.ParseScale), page.Read(f, "bass", u.ParseScale)
		if f.OK() {
			return b.fanned(treble, bass, u)
		}
		return b
	}
	return b.step(what)
}

// tuned gives every string the pitch of a common tuning, with as many rows as it has strings; those beyond it that hold something stay.
func (b bench) tuned(code string) bench {
	all := stringdesign.Tunings()
	i := slices.IndexFunc(all, func(t stringdesign.Tuning) bool { return t.Code == code })
	if i < 0 {
		return b
	}
	pitches := all[i].Pitches
	b.rows = slices.Clone(b.rows)
	for len(b.rows) < len(pitches) {
		b.rows = append(b.rows, row{})
	}
	for k := range b.rows {
		b.rows[k].pitch = ""
		if k < len(pitches) {
			b.rows[k].pitch = pitches[k]
		}
	}
	for len(b.rows) > len(pitches) && b.rows[len(b.rows)-1] == (row{}) {
		b.rows = b.rows[:len(b.rows)-1]
	}
	return b
}

// moved takes every pitch that can be read some semitones up; down where they are negative.
func (b bench) moved(by int) bench {
	b.rows = slices.Clone(b.rows)
	for i := range b.rows {
		if pitch, err := stringdesign.Transposed(b.rows[i].pitch, by); by != 0 && err == nil {
			b.rows[i].pitch = pitch
		}
	}
	return b
}

// fanned gives every string its own scale, evenly from the treble side's to the bass side's, to a thousandth of an inch or a tenth of a
// millimetre.
func (b bench) fanned(treble, bass measure.Size, u units.Units) bench {
	step := measure.Thou
	if u.Metric {
		step = measure.Millimetre / 10
	}
	n := b.used()
	if n == 0 {
		n = max(fewest, len(b.rows))
	}
	b.rows = slices.Clone(b.rows)
	for len(b.rows) < n {
		b.rows = append(b.rows, row{})
	}
	for i, scale := range stringdesign.Fanned(treble, bass, step, n) {
		b.rows[i].scale = scaleText(scale, u)
	}
	return b
}

// mostSemitones is as far as all strings move at once.
const mostSemitones = 24

func semitones(text string) (int, error) {
	n, err := strconv.Atoi(strings.TrimPrefix(strings.ReplaceAll(strings.TrimSpace(text), "−", "-"), "+"))
	if err != nil || n < -mostSemitones || n > mostSemitones {
		return 0, fmt.Errorf("%q is not a number of semitones from −%d to %d", text, mostSemitones, mostSemitones)
	}
	return n, nil
}

// tuneView is what changes all strings at once.
type tuneView struct {
	Tuning, Semitones, Treble, Bass page.Field
	Open                            bool // something of it was typed wrongly
}

func newTune(f *page.Form, u units.Units) tuneView {
	options := []page.Option{{Text: "Choose"}}
	for _, t := range stringdesign.Tunings() {
		options = append(options, page.Option{Value: t.Code, Text: t.Name})
	}
	v := tuneView{Tuning: f.Field("tuning", "Common tunings").Choice(options...), Semitones: f.Field("semitones", "Semitones up, down with a minus").Hinted("Such as -2: all strings a tone down."),
		Treble: f.Field("treble", "Scale on the treble side").Number(u.LengthUnit()), Bass: f.Field("bass", "Scale on the bass side").Number(u.LengthUnit())}
	v.Open = v.Semitones.Error+v.Treble.Error+v.Bass.Error != ""
	return v
}

// asked gives the values of a form beside the bench that the query holds.
func asked(q url.Values) *page.Form {
	values := url.Values{}
	for _, name := range []string{"tuning", "semitones", "treble", "bass"} {
		values.Set(name, q.Get(name))
	}
	return page.NewForm(values)
}
