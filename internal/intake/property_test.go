package intake_test

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/order"
	"windingroom/internal/stock"
	"windingroom/internal/winding"
)

// TestPrintedFactsReadTheSame draws facts of every kind, prints them as files, and wants the same facts back, and nothing
// new once the shop has them.
func TestPrintedFactsReadTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := &draw{t: t}
		want := d.facts()
		f := printFacts(want, want.Practice.Currency)
		read, _ := intake.Read(f.fs())
		got, problems := read.Facts(newShop())
		if err := problems.Err(); err != nil {
			t.Fatalf("%v\n%v", err, f)
		}
		got.Counts = nil
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("got\n%+v\nwant\n%+v", got, want)
		}
		again, problems := read.Facts(keep(newShop(), want))
		if err := problems.Err(); err != nil {
			t.Fatal(err)
		}
		wantNothingNew(t, again)
	})
}

// draw makes facts that hang together. Lists are nil where empty, as reading leaves them.
type draw struct {
	t    *rapid.T
	made intake.Facts
}

func pick[T any](d *draw, from []T, label string) T { return rapid.SampledFrom(from).Draw(d.t, label) }

func (d *draw) between(low, high int, label string) int {
	return rapid.IntRange(low, high).Draw(d.t, label)
}

func (d *draw) yes(label string) bool { return rapid.Bool().Draw(d.t, label) }

// code gives a code that differs from the n-1 before it.
func (d *draw) code(kind string, n int) string {
	return fmt.Sprintf("%s%d%s", kind, n, rapid.StringMatching(`[A-Za-z._-][A-Za-z0-9._-]{0,20}`).Draw(d.t, "code"))
}

// words gives trimmed text with what people and spreadsheets put in it.
func (d *draw) words(label string) string {
	text := rapid.StringOfN(rapid.RuneFrom([]rune("ab Z,;\"'=+@\né漢\t-#")), 1, 20, -1).Draw(d.t, label)
	return cmp.Or(strings.TrimSpace(text), "x")
}

func (d *draw) facts() intake.Facts {
	f := &d.made
	d.practice()
	for n := range d.between(0, 2, "alloys") {
		f.Alloys = append(f.Alloys, material.Alloy{Code: material.AlloyCode(d.code("a", n)), Name: d.words("name"),
			Density:       measure.Density(d.between(50_000, 2_500_000, "density")) / 100,
			Ferromagnetic: pick(d, []material.Magnetism{material.Strong, material.Weak, material.Varies, material.None}, "magnetism"),
			Core:          d.yes("core"), Wrap: d.yes("wrap"), Source: d.words("source"),
			Nickel:    pick(d, []material.Answer{material.Unsaid, material.Yes, material.No}, "nickel"),
			Tarnishes: pick(d, []material.Tarnish{"", material.Sooner, material.Later}, "tarnishes")})
	}
	for n := range d.between(0, 2, "suppliers") {
		f.Suppliers = append(f.Suppliers, catalog.Supplier{Code: d.code("s", n), Name: d.words("name"),
			LeadDays: float64(d.between(0, 7300, "lead")) / 2, LeadDaysSD: float64(d.between(0, 100, "sd")) / 10,
			OrderMinimum: d.amount(), OrderCost: d.amount(), Freight: d.amount(), FreightPerKg: d.amount()})
	}
	for n := range d.between(0, 8, "wires") {
		f.Wires = append(f.Wires, d.wire(n))
	}
	for n := range d.between(0, 6, "recipes") {
		d.recipe(n)
	}
	if len(f.Recipes) > 0 {
		for n := range d.between(0, 3, "sets") {
			f.Sets = append(f.Sets, catalog.Set{Code: catalog.SetCode(d.code("set", n)), Positions: d.positions()})
		}
		for n := range d.between(0, 3, "orders") {
			f.Orders = append(f.Orders, d.order(n))
		}
	}
	if len(f.Wires) > 0 {
		for n := range d.between(0, 3, "spools") {
			f.Spools = append(f.Spools, d.spool(n))
		}
		d.usage()
	}
	for n := range d.between(0, 2, "machines") {
		f.Machines = append(f.Machines, catalog.Machine{Code: catalog.MachineCode(d.code("m", n)),
			Winds:   pick(d, []catalog.Winds{catalog.WindsPlain, catalog.WindsWound, catalog.WindsBoth}, "winds"),
			Longest: measure.Size(d.between(1, 100_000_000, "longest")) * measure.Micrometre, PerDay: d.duration(1000)})
	}
	return *f
}

func (d *draw) practice() {
	p := catalog.Practice{ChangeCore: d.duration(0), ChangeWrap: d.duration(0), ChangeLength: d.duration(0), ChangeSpool: d.duration(0),
		CompletionConfidence: float64(d.between(500_000, 999_999, "confidence")) / 1e6,
		Currency:             pick(d, []money.Currency{"EUR", "JPY", "KWD"}, "currency")}
	p.ScaleResolution = measure.Mass(d.between(1, 100_000, "scale"))
	p.LossOfDrawn, p.LossOfReceived = float64(d.between(0, 1000, "of drawn"))/1000, float64(d.between(0, 1000, "of received"))/1000
	length := func() measure.Size { return measure.Size(d.between(0, 1_000_000, "length")) * measure.Micrometre }
	p.BallEnd, p.Tail, p.Head, p.ChuckWaste, p.WrapBeyondNut = length(), length(), length(), length(), length()
	p.WasteTurns = float64(d.between(0, 1000, "turns")) / 16
	p.Buying = catalog.Buying{Service: float64(d.between(500, 999, "service")) / 1000, ReviewDays: int(d.between(1, 91, "review")),
		ReceivingDays: int(d.between(0, 91, "receiving")), CarryingRate: float64(d.between(10, 2000, "carrying")) / 1000, LineCost: d.amount(),
		WatchDays: int(d.between(0, 182, "watch")), CoverDays: int(d.between(7, 3650, "cover"))}
	share := func(least int) float64 { return float64(d.between(least, 1000, "share")) / 1000 }
	p.CautionShare, p.RefuseShare, p.LeastCore, p.MostCore = share(0), 1, share(0), 1
	p.MostWrap, p.Margin = share(0), share(0)*0.9
	p.AddedTension, p.LabourPerHour = measure.Force(d.between(0, 10_000, "tension")), d.amount()
	d.made.Practice = &p
}

func (d *draw) amount() money.Minor { return money.Minor(d.between(0, 1e9, "amount")) }

// duration gives thousandths of a minute up to 24 hours.
func (d *draw) duration(least int) time.Duration {
	return time.Duration(d.between(least, 24*60*1000, "duration")) * time.Minute / 1000
}

func (d *draw) alloy(core bool) string {
	alloys := []string{"music-wire"}
	if !core {
		alloys = []string{"copper", "nickel"}
	}
	for _, a := range d.made.Alloys {
		if core && a.Core || !core && a.Wrap {
			alloys = append(alloys, string(a.Code))
		}
	}
	return pick(d, alloys, "alloy")
}

func (d *draw) wire(n int) material.Wire {
	// Even wires are cores, odd ones wraps; tenths of a thou are exact.
	w := material.Wire{Code: material.WireCode(d.code("w", n)), Alloy: material.AlloyCode(d.alloy(n%2 == 0)),
		UsableEnd: measure.Mass(d.between(0, 100_000, "usable")), Pack: measure.Mass(d.between(1, 5_000_000, "pack")), PricePerKg: d.amount()}
	w.Form = material.Form{Section: material.Round, Size: measure.Size(d.between(80, 260, "size")) * measure.Thou / 10}
	switch {
	case n%2 == 0 && d.yes("hex"):
		w.Form.Section, w.Form.Across = material.Hex, pick(d, []material.Across{material.AcrossFlats, material.AcrossCorners}, "across")
	case n%2 == 1 && d.yes("flat"):
		w.Form.Section, w.Form.Thickness = material.Flat, 4*measure.Thou
	}
	if len(d.made.Suppliers) > 0 {
		w.Supplier = pick(d, d.made.Suppliers, "supplier").Code
	}
	return w
}

// recipe adds one where the drawn core and wraps can be wound.
func (d *draw) recipe(n int) {
	alloys := material.NewAlloys(material.BuiltIn()...).With(d.made.Alloys...)
	var b winding.Build
	r := catalog.Recipe{Code: catalog.RecipeCode(d.code("r", n)), BallEnd: d.yes("ball end"),
		Yield: float64(d.between(10, 1000, "yield")) / 1000, MinutesEach: d.duration(1)}
	for i, w := range d.made.Wires {
		alloy, _ := alloys.Find(w.Alloy)
		switch {
		case i%2 == 0 && r.Core == "":
			r.Core, b.Core, b.CoreDensity = w.Code, w.Form, alloy.Density
		case i%2 == 1 && len(r.Wraps) < catalog.MaxWraps && d.yes("wrapped"):
			lay := measure.Size(0)
			if d.yes("open") {
				lay = w.Form.Size * 2
			}
			r.Wraps = append(r.Wraps, catalog.Wrap{Wire: w.Code, Lay: lay})
			b.Layers = append(b.Layers, winding.Layer{Form: w.Form, Density: alloy.Density, Lay: lay})
		}
	}
	if s, err := winding.Design(b); err == nil {
		r.Gauge = measure.Size(float64(s.Gauge)/25.4e-6) * measure.Thou
		d.made.Recipes = append(d.made.Recipes, r)
	}
}

func (d *draw) positions() []catalog.Position {
	var all []catalog.Position
	for n := range d.between(1, 4, "positions") {
		all = append(all, catalog.Position{Number: 2*n + 1, Recipe: pick(d, d.made.Recipes, "recipe").Code,
			Scale: measure.Size(d.between(500, 6000, "scale")) * measure.Inch / 100,
			Pitch: pick(d, []string{"E4", "F#2", "Bb1", "82.41", "110 Hz"}, "pitch")})
	}
	return all
}

func (d *draw) order(n int) order.Order {
	on := d.date()
	o := order.Order{Code: order.Code(d.code("o", n)), OrderedOn: on, DueOn: on + calendar.Date(d.between(0, 60, "due")),
		Customer: d.words("customer"), Status: order.Confirmed}
	for l := range d.between(1, 3, "lines") {
		line := order.Line{Number: l + 1, Quantity: d.between(1, 100_000, "quantity")}
		strings := d.positions()
		if len(d.made.Sets) > 0 && d.yes("standing") {
			set := pick(d, d.made.Sets, "set")
			line.Set, strings = set.Code, set.Positions
		}
		for _, p := range strings {
			line.Strings = append(line.Strings, order.String{Position: p.Number, Recipe: p.Recipe, Scale: p.Scale, Pitch: p.Pitch})
		}
		o.Lines = append(o.Lines, line)
	}
	return o
}

func (d *draw) date() calendar.Date {
	return calendar.NewDate(2025, 1, 1) + calendar.Date(d.between(0, 700, "day"))
}

func (d *draw) spool(n int) stock.Spool {
	tare := measure.Mass(d.between(0, 500_000, "tare"))
	return stock.Spool{Code: stock.SpoolCode(d.code("sp", n)), Wire: pick(d, d.made.Wires, "wire").Code, Lot: d.words("lot"), ReceivedOn: d.date(),
		Gross: tare + measure.Mass(d.between(1, 5_000_000, "net")), Tare: tare, Cost: d.amount(), Location: d.words("location")}
}

// usage draws few different rows, so that equal ones come up, in the order in which reading gives them.
func (d *draw) usage() {
	var rows []stock.Usage
	for range d.between(0, 12, "usage") {
		rows = append(rows, stock.Usage{On: calendar.NewDate(2025, 6, d.between(1, 3, "day")), Wire: pick(d, d.made.Wires, "wire").Code,
			Order: pick(d, []string{"", "O-1", "p.2"}, "order"), Mass: measure.Mass(d.between(1, 3, "mass"))})
	}
	compare := func(a, b stock.Usage) int {
		return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Wire, b.Wire), cmp.Compare(a.Order, b.Order), cmp.Compare(a.Mass, b.Mass))
	}
	slices.SortFunc(rows, compare)
	for i := range rows {
		rows[i].Nth = 1
		if i > 0 && compare(rows[i-1], rows[i]) == 0 {
			rows[i].Nth = rows[i-1].Nth + 1
		}
	}
	d.made.Usage = rows
}
