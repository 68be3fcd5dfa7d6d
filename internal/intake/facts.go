package intake

import (
	"cmp"

	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/money"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

// Known is what the shop already has. The zero value is a new shop without even the built-in alloys.
type Known struct {
	Practice  catalog.Practice // the zero value stands for the defaults
	Alloys    []material.Alloy // the shop's own merged with the built-in ones
	Wires     []material.Wire
	Suppliers []catalog.Supplier
	Recipes   []catalog.Recipe
	Sets      []catalog.Set
	Machines  []catalog.Machine
	Orders    []order.Order
	Spools    []stock.Spool
	Usage     map[stock.Usage]int // how many there are of each, with Nth zero
}

// Facts is what an import adds or changes; what is there already in the same words is left out.
type Facts struct {
	Practice  *catalog.Practice // nil where nothing changes
	Alloys    []material.Alloy
	Wires     []material.Wire
	Suppliers []catalog.Supplier
	Recipes   []catalog.Recipe
	Sets      []catalog.Set
	Machines  []catalog.Machine
	Orders    []order.Order // confirmed
	Spools    []stock.Spool
	Usage     []stock.Usage // by day, wire, order and mass; with Nth

	Counts []Count // one for each file in the folder, in the order of Files
}

// Count is what became of the alloys, wires, sets, orders, … or settings of one file.
type Count struct {
	File      string `json:"file"`
	Added     int    `json:"added"`
	Changed   int    `json:"changed"`
	Unchanged int    `json:"unchanged"`
}

// Changes gives how many things the facts add or change.
func (f Facts) Changes() int {
	n := 0
	for _, c := range f.Counts {
		n += c.Added + c.Changed
	}
	return n
}

// Facts resolves what the rows refer to and decides what is new. Masters (alloys, wires, suppliers, recipes, sets, machines,
// settings) that differ are replaced; spools and orders that differ are refused. The problems are those of both steps; with
// any of them there are no facts.
func (f *Folder) Facts(known Known) (Facts, Problems) {
	r := newResolution(f, known)
	r.takePractice() // first: it decides the currency
	r.takeAlloys()
	r.takeSuppliers()
	r.takeWires()
	r.takeRecipes()
	r.takeSets()
	r.takeMachines()
	r.takeOrders()
	r.takeSpools()
	r.takeUsage()
	if problems := f.problems(&r.reports); len(problems) > 0 {
		return Facts{}, problems
	}
	for id, present := range f.present {
		if present {
			r.facts.Counts = append(r.facts.Counts, r.counts[id])
		}
	}
	return r.facts, nil
}

// resolution is one run of the second step.
type resolution struct {
	folder  *Folder
	known   Known
	facts   Facts
	reports [fileCount]report
	counts  [fileCount]Count

	currency  money.Currency // empty where practice.csv names one that cannot be read
	alloys    shelf[material.Alloy]
	wires     shelf[material.Wire]
	suppliers shelf[catalog.Supplier]
	recipes   shelf[catalog.Recipe]
	sets      shelf[catalog.Set]
}

func newResolution(f *Folder, known Known) *resolution {
	if known.Practice == (catalog.Practice{}) {
		known.Practice = catalog.DefaultPractice()
	}
	r := &resolution{folder: f, known: known}
	for id := range fileCount {
		name := cmp.Or(f.reports[id].name, specs[id].name)
		r.reports[id].name, r.counts[id].File = name, name
	}
	r.alloys = newShelf("alloy", alloysFile, known.Alloys, func(a material.Alloy) string { return string(a.Code) })
	r.wires = newShelf("wire", wiresFile, known.Wires, func(w material.Wire) string { return string(w.Code) })
	r.suppliers = newShelf("supplier", suppliersFile, known.Suppliers, func(s catalog.Supplier) string { return s.Code })
	r.recipes = newShelf("recipe", recipesFile, known.Recipes, func(c catalog.Recipe) string { return string(c.Code) })
	r.sets = newShelf("set", setsFile, known.Sets, func(s catalog.Set) string { return string(s.Code) })
	return r
}

func (r *resolution) fail(id fileID, line int, column, format string, args ...any) {
	r.reports[id].add(line, column, format, args...)
}

// amount reads money once the currency is known; an empty text was allowed or has been told.
func (r *resolution) amount(id fileID, line int, column, text string) (amount money.Minor, sound bool) {
	if text == "" || r.currency == "" {
		return 0, true
	}
	amount, err := r.currency.Parse(text)
	if err == nil && amount >= 0 {
		return amount, true
	}
	if err != nil {
		r.fail(id, line, column, "%v", err)
	} else {
		r.fail(id, line, column, "%s must not be negative", text)
	}
	return 0, false
}
