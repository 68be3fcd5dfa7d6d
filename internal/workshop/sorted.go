package workshop

import (
	"cmp"
	"maps"
	"slices"
)

// sortedKeys gives a map's keys in order, for everything whose result must not depend on map order.
func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }
