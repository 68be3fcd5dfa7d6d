package intake

import (
	"cmp"
	"slices"
	"strings"

	"windingroom/internal/catalog"
	"windingroom/internal/stringdesign"
)

// maxPosition bounds string positions, far beyond any instrument.
const maxPosition = 1000

type setRow struct {
	at
	set      string
	position catalog.Position
}

func (f *Folder) takeSet(r *row) {
	s := setRow{set: r.code("set"), position: r.position()}
	s.at = r.at()
	f.sets = append(f.sets, s)
}

// position reads one string of a set.
func (r *row) position() catalog.Position {
	return catalog.Position{
		Number: r.whole("position", 1, maxPosition),
		Recipe: catalog.RecipeCode(r.code("recipe")),
		Scale:  r.scale("scale_in"),
		Pitch:  r.pitch("pitch"),
	}
}

// pitch reads a pitch and keeps it as written.
func (r *row) pitch(column string) string {
	text, ok := r.need(column, "a pitch such as E4, F#2, Bb1 or hertz")
	if !ok {
		return ""
	}
	if _, err := stringdesign.ParsePitch(excerpt(text)); err != nil {
		r.fail(column, "%v", err)
		return ""
	}
	return strings.Clone(text)
}

// positions collects the strings of one set or order line and tells a number that comes twice.
type positions struct {
	list  []catalog.Position
	lines map[int]int // where each number stands
}

func (p *positions) add(r *resolution, id fileID, line int, next catalog.Position) bool {
	if p.lines == nil {
		p.lines = map[int]int{}
	}
	if next.Number == 0 { // told already
		return false
	}
	if earlier, twice := p.lines[next.Number]; twice {
		r.fail(id, line, "position", "%d is already on line %d", next.Number, earlier)
		return false
	}
	p.lines[next.Number] = line
	p.list = append(p.list, next)
	return true
}

func (p *positions) sorted() []catalog.Position {
	return slices.SortedFunc(slices.Values(p.list), func(a, b catalog.Position) int { return cmp.Compare(a.Number, b.Number) })
}

type setBuild struct {
	it        item[catalog.Set]
	positions positions
	bad       bool
}

func (r *resolution) takeSets() {
	builds := map[string]*setBuild{}
	var inOrder []*setBuild
	for _, row := range r.folder.sets {
		b := builds[key(row.set)]
		if b == nil && row.set != "" {
			it, _ := claim(r, &r.sets, row.at, "set", row.set)
			b = &setBuild{it: it}
			builds[key(row.set)] = b
			inOrder = append(inOrder, b)
		}
		recipe, sound := refer(r, &r.recipes, setsFile, row.line, "recipe", string(row.position.Recipe))
		if b == nil {
			continue
		}
		row.position.Recipe = catalog.RecipeCode(recipe.code)
		sound = b.positions.add(r, setsFile, row.line, row.position) && sound && !row.bad
		b.bad = b.bad || !sound
	}
	for _, b := range inOrder {
		set := catalog.Set{Code: catalog.SetCode(b.it.code), Positions: b.positions.sorted()}
		same := set.Code == b.it.value.Code && slices.Equal(set.Positions, b.it.value.Positions)
		r.sets.put(b.it, set, !b.bad)
		if !b.bad && r.count(setsFile, b.it.known, same) {
			r.facts.Sets = append(r.facts.Sets, set)
		}
	}
}
