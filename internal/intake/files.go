package intake

import "slices"

// fileID numbers the import files in the order in which problems and counts are told.
type fileID int

const (
	alloysFile fileID = iota
	wiresFile
	suppliersFile
	spoolsFile
	recipesFile
	setsFile
	ordersFile
	machinesFile
	usageFile
	practiceFile
	fileCount
)

// spec is what an import file is called and which columns it has, in any order.
type spec struct {
	name     string
	columns  []string // needed ones first
	optional int      // how many of the columns, at the end, may be left out
}

var specs = [fileCount]spec{
	alloysFile: {"alloys.csv", []string{"alloy", "name", "density_kg_m3", "ferromagnetic", "core", "wrap", "source", "nickel", "tarnishes"}, 2},
	wiresFile: {"wires.csv", []string{"wire", "alloy", "section", "size_thou", "thickness_thou", "usable_end_g", "supplier",
		"pack_kg", "price_per_kg", "across"}, 1},
	suppliersFile: {"suppliers.csv", []string{"supplier", "name", "lead_days", "lead_days_sd", "order_minimum", "order_cost",
		"freight", "freight_per_kg"}, 2},
	spoolsFile: {"spools.csv", []string{"spool", "wire", "lot", "received_on", "gross_g", "tare_g", "cost",
		"location"}, 0},
	recipesFile: {"recipes.csv", []string{"recipe", "gauge_thou", "core", "wrap_1", "wrap_2", "wrap_3", "lay_1_thou", "lay_2_thou",
		"lay_3_thou", "ball_end", "yield", "minutes_each"}, 0},
	setsFile: {"sets.csv", []string{"set", "position", "recipe", "scale_in", "pitch"}, 0},
	ordersFile: {"orders.csv", []string{"order", "line", "ordered_on", "due_on", "customer", "set", "quantity", "position",
		"recipe", "scale_in", "pitch"}, 0},
	machinesFile: {"machines.csv", []string{"machine", "winds", "longest_mm", "minutes_per_day", "shifts"}, 1},
	usageFile:    {"usage.csv", []string{"used_on", "wire", "mass_g", "order"}, 0},
	practiceFile: {"practice.csv", []string{"setting", "value"}, 0},
}

// needed gives the columns that a header must name.
func (s spec) needed() []string { return s.columns[:len(s.columns)-s.optional] }

func (s spec) index(column string) int { return slices.Index(s.columns, column) }

// Files lists the names of the import files in the order in which problems and counts are told.
func Files() []string {
	names := make([]string, fileCount)
	for i, s := range specs {
		names[i] = s.name
	}
	return names
}
