// Package planning proposes one winding day: which strings are wound in which batches, on which machine, in which sequence
// and from which spools, what does not fit and why, and beside it what no plan of these batches can undercut. It plans a day
// again round what is kept of it, says what a new plan changes, and looks ahead day by day.
//
// It is a pure function of its input: the same room in any order of its lists gives the same plan. The search counts
// evaluations, never time, and works in integers. The sequence is found in sequencing, the spools in cutting; this package
// decides what is wound at all, and knows what sits on a machine.
package planning
