package intake

import (
	"cmp"
	"slices"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/order"
)

// Bounds of an order: what is beyond them is a slip.
const (
	maxOrderLine = 100_000
	maxQuantity  = 100_000
)

type orderRow struct {
	at
	order     string
	number    int // of the line
	orderedOn calendar.Date
	dueOn     calendar.Date
	customer  string
	set       string // empty for a custom set
	quantity  int
	position  catalog.Position // of a custom set
}

func (f *Folder) takeOrder(r *row) {
	o := orderRow{
		order:     r.code("order"),
		number:    r.whole("line", 1, maxOrderLine),
		orderedOn: r.date("ordered_on"),
		dueOn:     r.date("due_on"),
		customer:  r.words("customer", "who ordered"),
		set:       r.codeGiven("set"),
		quantity:  r.whole("quantity", 1, maxQuantity),
	}
	if r.sound("ordered_on", "due_on") && o.dueOn < o.orderedOn {
		r.fail("due_on", "%s is before the order came in on %s", o.dueOn, o.orderedOn)
	}
	switch {
	case !r.sound("set"):
	case o.set == "":
		o.position = r.position()
	default:
		for _, column := range []string{"position", "recipe", "scale_in", "pitch"} {
			if _, given := r.given(column); given {
				r.fail(column, "must be empty where a standing set is named; a custom set leaves set empty")
			}
		}
	}
	o.at = r.at()
	f.orders = append(f.orders, o)
}

// orderBuild is an order as its rows come in.
type orderBuild struct {
	first orderRow
	it    item[order.Order]
	lines map[int]*lineBuild
	bad   bool
}

type lineBuild struct {
	first     orderRow
	set       item[catalog.Set]
	positions positions
}

func (r *resolution) takeOrders() {
	orders := newShelf("order", ordersFile, r.known.Orders, func(o order.Order) string { return string(o.Code) })
	builds := map[string]*orderBuild{}
	var inOrder []*orderBuild
	for _, row := range r.folder.orders {
		b := builds[key(row.order)]
		if b == nil {
			b = &orderBuild{first: row, lines: map[int]*lineBuild{}}
			if row.order != "" { // else it was told, and the row stands alone
				b.it, _ = claim(r, &orders, row.at, "order", row.order)
				builds[key(row.order)] = b
				inOrder = append(inOrder, b)
			}
		}
		sound := b.agree(r, row)
		b.bad = !b.take(r, row) || !sound || row.bad || b.bad
	}
	for _, b := range inOrder {
		if !b.bad {
			r.takeOrder(b)
		}
	}
}

// agree tells where a row says something else of the order than its first row.
func (b *orderBuild) agree(r *resolution, row orderRow) bool {
	first := b.first
	other := func(column string, here, there any) bool {
		r.fail(ordersFile, row.line, column, "%v differs from %v on line %d; the rows of one order agree", here, there, first.line)
		return false
	}
	switch {
	case row.orderedOn != first.orderedOn && row.orderedOn != 0 && first.orderedOn != 0:
		return other("ordered_on", row.orderedOn, first.orderedOn)
	case row.dueOn != first.dueOn && row.dueOn != 0 && first.dueOn != 0:
		return other("due_on", row.dueOn, first.dueOn)
	case row.customer != first.customer && row.customer != "" && first.customer != "":
		return other("customer", excerpt(row.customer), excerpt(first.customer))
	}
	return true
}

// take adds a row to its line.
func (b *orderBuild) take(r *resolution, row orderRow) bool {
	l := b.lines[row.number]
	if l == nil {
		l = &lineBuild{first: row}
		b.lines[row.number] = l
	} else if row.number != 0 && !l.agree(r, row) {
		return false
	}
	if row.set != "" {
		if b.has(row) {
			l.set = item[catalog.Set]{code: row.set}
			return true
		}
		var sound bool
		l.set, sound = refer(r, &r.sets, ordersFile, row.line, "set", row.set)
		return sound
	}
	recipe, sound := refer(r, &r.recipes, ordersFile, row.line, "recipe", string(row.position.Recipe))
	row.position.Recipe = catalog.RecipeCode(recipe.code)
	if row.number == 0 { // told, and nobody knows which line it belongs to
		return false
	}
	return l.positions.add(r, ordersFile, row.line, row.position) && sound
}

// has says whether the shop's order has the row's set on this line already: then it may have been retired since.
func (b *orderBuild) has(row orderRow) bool {
	return slices.ContainsFunc(b.it.value.Lines, func(l order.Line) bool { return l.Number == row.number && key(string(l.Set)) == key(row.set) })
}

// agree tells where a further row of a line does not fit its first one.
func (l *lineBuild) agree(r *resolution, row orderRow) bool {
	first := l.first
	switch {
	case row.bad || first.bad:
	case row.set != "" && key(row.set) == key(first.set):
		r.fail(ordersFile, row.line, "line", "%d is already on line %d; a standing set takes one row", row.number, first.line)
		return false
	case key(row.set) != key(first.set):
		r.fail(ordersFile, row.line, "set", "%q differs from %q on line %d; the rows of one order line agree", row.set, first.set, first.line)
		return false
	}
	if row.quantity != first.quantity && row.quantity != 0 && first.quantity != 0 {
		r.fail(ordersFile, row.line, "quantity", "%d differs from %d on line %d; the rows of one order line agree", row.quantity, first.quantity, first.line)
		return false
	}
	return true
}

func (r *resolution) takeOrder(b *orderBuild) {
	o := order.Order{
		Code:      order.Code(b.it.code),
		OrderedOn: b.first.orderedOn,
		DueOn:     b.first.dueOn,
		Customer:  b.first.customer,
		Status:    order.Confirmed,
	}
	for number, l := range b.lines {
		o.Lines = append(o.Lines, l.line(number))
	}
	slices.SortFunc(o.Lines, func(x, y order.Line) int { return cmp.Compare(x.Number, y.Number) })
	if b.it.known {
		r.sameOrder(b, o)
	} else if r.count(ordersFile, false, false) {
		r.facts.Orders = append(r.facts.Orders, o)
	}
}

// line spells out its strings, those of a standing set as the set is now.
func (l *lineBuild) line(number int) order.Line {
	line := order.Line{Number: number, Set: catalog.SetCode(l.set.code), Quantity: l.first.quantity}
	strings := l.positions.sorted()
	if line.Set != "" {
		strings = l.set.value.Positions
	}
	for _, p := range strings {
		line.Strings = append(line.Strings, order.String{Position: p.Number, Recipe: p.Recipe, Scale: p.Scale, Pitch: p.Pitch})
	}
	return line
}

// sameOrder tells where an order that is already here comes with other figures.
func (r *resolution) sameOrder(b *orderBuild, o order.Order) {
	here, column, line := b.it.value, "", b.first.line
	switch {
	case o.OrderedOn != here.OrderedOn:
		column = "ordered_on"
	case o.DueOn != here.DueOn:
		column = "due_on"
	case o.Customer != here.Customer:
		column = "customer"
	case len(o.Lines) != len(here.Lines):
		column = "line"
	default:
		for i, l := range o.Lines {
			if !sameLine(l, here.Lines[i]) {
				column, line = "line", b.lines[l.Number].first.line
				break
			}
		}
	}
	if column == "" {
		r.count(ordersFile, true, true)
		return
	}
	r.fail(ordersFile, line, column, "order %s is already here with another %s; change the order itself, not by importing again", o.Code, column)
}

// sameLine compares the strings of custom sets only: a standing set may have changed since it was ordered, and the order
// keeps what was ordered.
func sameLine(a, b order.Line) bool {
	if a.Number != b.Number || key(a.Set) != key(b.Set) || a.Quantity != b.Quantity {
		return false
	}
	return a.Set != "" || slices.Equal(a.Strings, b.Strings)
}
