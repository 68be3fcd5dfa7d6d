package costing

import (
	"cmp"
	"maps"
	"slices"

	"windingroom/internal/money"
)

// Cause is what variances are grouped by.
type Cause string

// The causes that the books know of.
const (
	ByRecipe  Cause = "recipe"
	ByMachine Cause = "machine"
	ByPerson  Cause = "person"
	ByWire    Cause = "wire"
	ByLot     Cause = "lot"
	ByBatch   Cause = "batch"
)

// Of gives the cause's name in a variance; empty where it does not apply.
func (c Cause) Of(v Variance) string {
	switch c {
	case ByRecipe:
		return v.Recipe
	case ByMachine:
		return v.Machine
	case ByPerson:
		return v.Person
	case ByWire:
		return string(v.Wire)
	case ByLot:
		return v.Lot
	}
	return v.Batch
}

// Caused is the variances of one kind and one cause together.
type Caused struct {
	Kind   VarianceKind
	Name   string // of the recipe, person…; empty for what has none
	Amount money.Minor
}

// GroupVariances sums variances by kind and cause, by kind in the order of VarianceKinds and then by name. The sum is that of the
// variances.
func GroupVariances(list []Variance, by Cause) []Caused {
	type key struct {
		kind VarianceKind
		name string
	}
	sums := map[key]money.Minor{}
	for _, v := range list {
		sums[key{v.Kind, by.Of(v)}] += v.Amount
	}
	order := VarianceKinds()
	keys := slices.SortedFunc(maps.Keys(sums), func(a, b key) int {
		return cmp.Or(cmp.Compare(slices.Index(order, a.kind), slices.Index(order, b.kind)), cmp.Compare(a.name, b.name))
	})
	out := make([]Caused, len(keys))
	for i, k := range keys {
		out[i] = Caused{k.kind, k.name, sums[k]}
	}
	return out
}
