package orders

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"windingroom/internal/catalog"
	"windingroom/internal/units"
	"windingroom/internal/workshop"
)

// edit adds or drops a line or a row as a button asks, or spells a standing set out, and gives the field to go on with. at is the line, or
// line.row, from 0. What asks for something that is not there changes nothing.
func (w *written) edit(do, at string, choices workshop.OrderChoices, u units.Units) (focus string) {
	if do == "line" {
		if len(w.lines) < mostLines {
			w.lines = append(w.lines, freshLine(w.freeNumber()))
			focus = lineField(len(w.lines)-1, "set")
		}
		return focus
	}
	lineText, rowText, ofRow := strings.Cut(at, ".")
	i, err := strconv.Atoi(lineText)
	if err != nil || i < 0 || i >= len(w.lines) {
		return ""
	}
	l := &w.lines[i]
	switch {
	case do == "string" && len(l.rows) < mostRows:
		l.rows = append(l.rows, row{position: strconv.Itoa(l.freePosition())})
		focus = rowField(i, len(l.rows)-1, "recipe")
	case do == "drop" && ofRow:
		if j, err := strconv.Atoi(rowText); err == nil && j >= 0 && j < len(l.rows) {
			l.rows = slices.Delete(l.rows, j, j+1)
		}
	case do == "drop" && len(w.lines) > 1:
		w.lines = slices.Delete(w.lines, i, i+1)
	case do == "spell":
		k := slices.IndexFunc(choices.Sets, func(s catalog.Set) bool { return strings.EqualFold(string(s.Code), l.set) })
		if k < 0 {
			return ""
		}
		l.set, l.rows = "", nil
		for _, s := range choices.Sets[k].Positions {
			l.rows = append(l.rows, row{fmt.Sprint(s.Number), string(s.Recipe), scaleText(s.Scale, u), s.Pitch})
		}
		focus = rowField(i, 0, "recipe")
	}
	return focus
}

func (w *written) freeNumber() int {
	n := 0
	for _, l := range w.lines {
		if k, err := strconv.Atoi(l.number); err == nil {
			n = max(n, k)
		}
	}
	return n + 1
}

func (l writtenLine) freePosition() int {
	n := 0
	for _, s := range l.rows {
		if k, err := strconv.Atoi(s.position); err == nil {
			n = max(n, k)
		}
	}
	return n + 1
}
