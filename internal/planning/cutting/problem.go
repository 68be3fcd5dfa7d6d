// Package cutting chooses the spools that strings are wound from: whole strings, each from one spool (multiple subset-sum with
// usable leftovers). Unfilled strings weigh first, then one sum of scrap, mounts, age and lots. Masses are mg, the mass of one
// string ng; everything is an integer, and the same problem gives the same answer on every machine.
package cutting

import "windingroom/internal/measure"

// Problem is one wire's day: its spools and what is to be drawn from them. The least Value is wanted.
type Problem struct {
	Spools  []Spool // oldest first
	Batches []Stretch
	Prices  Prices
	Effort  int // evaluations; zero chooses by size, below zero none
}

// Spool is what may be drawn from a spool, and the end below which its rest is scrap.
type Spool struct {
	Free   measure.Mass
	Usable measure.Mass
	Rank   int // of its age: zero for the oldest
	Lot    int // equal for spools of one lot
	Home   int // machine it is on, or below zero
}

// Stretch is what is wound on one machine while a wire stays in its place: loads of whole strings, one after another.
type Stretch struct {
	Machine  int
	First    int // spool that is mounted already, or below zero
	Loads    []Load
	Priority int     // price of a string that finds no wire; below one is one
	Orders   [][]int // by load: numbers of its orders that have strings in other loads too; none where that is of no interest
}

// Load is a number of equal strings.
type Load struct {
	Each    measure.MassEach
	Strings int
}

// Prices turn scrap, mounts and the rest into one sum.
type Prices struct {
	Scrap int64 // of a milligram
	Mount int64 // of a spool put on a machine
	Age   int64 // of one rank
	Lot   int64 // of each further lot in a stretch
	Match int64 // of each further lot in an order
	Share int64 // of each further machine on a spool
}

// Value is what a choice of spools comes to.
type Value struct {
	Unfilled int64 // strings at their priorities
	Scrap    measure.Mass
	Mounts   int64
	Shared   int64 // machines beyond the first on a spool
	Cost     int64 // everything but what is unfilled, at its price
}

// Less says whether a value is better than another.
func (v Value) Less(o Value) bool {
	return v.Unfilled < o.Unfilled || (v.Unfilled == o.Unfilled && v.Cost < o.Cost)
}

// Piece is a number of strings of a stretch from one spool, in the order they are wound; spool -1 has no wire.
type Piece struct{ Spool, Strings int }

// Result is a choice of spools.
type Result struct {
	Pieces [][]Piece // by stretch
	Value  Value
	Proven bool // its unfilled, scrap and mounts are at their bounds
}
