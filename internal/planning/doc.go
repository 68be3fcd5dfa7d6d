// Package planning proposes one winding day: which strings are wound in which batches, on which machine, in which sequence
// and from which spools, what does not fit and why, and a proven lower bound on the setup beside the setup planned.
//
// It is a pure function of its input: the same room in any order of its lists gives the same plan. The search counts
// evaluations, never time, and works in integers.
package planning
