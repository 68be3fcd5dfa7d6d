package wire

import (
	"cmp"
	"fmt"
	"slices"
)

// flow is a drawing of what went into what: columns of boxes from left to right, with lines between the boxes of neighbouring columns.
type flow struct {
	Title, Desc   string
	Width, Height int
	Heads         []flowHead
	Boxes         []box
	Lines         []string // paths
	Hidden        int      // boxes that the drawing has no room for; the table has them
}

// flowHead names a column.
type flowHead struct {
	X    int
	Text string
}

// box is one thing, that leads to its page where it has one.
type box struct {
	X, Y, TextX, First, Second int
	Text, Note, Href           string
	Here                       bool // what the page is about
}

// The measures of the drawing, in its own units; the height of a box is one that a finger hits.
const (
	boxWidth, boxHeight = 158, 48
	boxGap, columnGap   = 10, 42
	headHeight          = 30
	mostBoxes           = 40     // in a column
	mostName, mostNote  = 17, 20 // letters of a box's texts
)

// flowing gathers the boxes and lines of a drawing.
type flowing struct {
	heads   []string
	columns [][]node
	lines   map[[2]string]bool
	order   [][2]string
}

type node struct {
	key, text, note, href string
	here                  bool
}

func newFlow(heads ...string) *flowing {
	return &flowing{heads: heads, columns: make([][]node, len(heads)), lines: map[[2]string]bool{}}
}

// box adds a thing to a column once; its key is one of the whole drawing.
func (f *flowing) box(column int, n node) string {
	n.key = fmt.Sprint(column, " ", n.key)
	if !slices.ContainsFunc(f.columns[column], func(o node) bool { return o.key == n.key }) {
		f.columns[column] = append(f.columns[column], n)
	}
	return n.key
}

// line joins two boxes once.
func (f *flowing) line(from, to string) {
	pair := [2]string{from, to}
	if !f.lines[pair] {
		f.lines[pair] = true
		f.order = append(f.order, pair)
	}
}

// draw places the boxes. Those of each column are put at the mean height of what they come from, so that fewer lines cross (one sweep of
// the barycentre method: Sugiyama, Tagawa and Toda 1981, from memory).
func (f *flowing) draw(title, desc string) flow {
	d := flow{Title: title, Desc: desc}
	at := map[string]box{}
	for c, column := range f.columns {
		x := c * (boxWidth + columnGap)
		d.Heads = append(d.Heads, flowHead{x, f.heads[c]})
		f.untangle(column, at)
		if over := len(column) - mostBoxes; over > 0 {
			d.Hidden += over
			column = column[:mostBoxes]
		}
		for i, n := range column {
			y := headHeight + i*(boxHeight+boxGap)
			b := box{X: x, Y: y, TextX: x + 12, First: y + 20, Second: y + 38, Text: short(n.text, mostName), Note: short(n.note, mostNote), Href: n.href, Here: n.here}
			if n.note == "" {
				b.First = y + 29
			}
			at[n.key] = b
			d.Boxes = append(d.Boxes, b)
			d.Height = max(d.Height, y+boxHeight+4)
		}
		d.Width = x + boxWidth + 4
	}
	for _, pair := range f.order {
		from, ok := at[pair[0]]
		to, both := at[pair[1]]
		if ok && both {
			x1, y1, x2, y2 := from.X+boxWidth, from.Y+boxHeight/2, to.X, to.Y+boxHeight/2
			mid := (x1 + x2) / 2
			d.Lines = append(d.Lines, fmt.Sprintf("M%d %dC%d %d %d %d %d %d", x1, y1, mid, y1, mid, y2, x2, y2))
		}
	}
	return d
}

// untangle sorts a column by what its boxes come from.
func (f *flowing) untangle(column []node, at map[string]box) {
	mean := map[string]float64{}
	for _, n := range column {
		sum, count := 0, 0
		for _, pair := range f.order {
			if from, ok := at[pair[0]]; ok && pair[1] == n.key {
				sum, count = sum+from.Y, count+1
			}
		}
		if count > 0 {
			mean[n.key] = float64(sum) / float64(count)
		}
	}
	slices.SortStableFunc(column, func(a, b node) int { return cmp.Compare(mean[a.key], mean[b.key]) })
}

// short fits a text into a box.
func short(text string, most int) string {
	letters := []rune(text)
	if len(letters) <= most {
		return text
	}
	return string(letters[:most-1]) + "…"
}
