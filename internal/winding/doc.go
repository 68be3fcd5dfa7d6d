// Package winding is the geometry of a wound string: from core and wraps to gauge, turns, wire length and mass.
//
// One calculation feeds tension, requirement, promise date, batch sheet, reorder and cost. It goes Build → Design → String,
// which holds everything that does not depend on the scale length; String.At gives the consumption of one string at a scale;
// Compile keeps only the two numbers per wire that the mass of a million strings needs.
//
// Results are the same to the bit on every architecture: products inside sums are written float64(a*b), which forbids the
// compiler to fuse them.
package winding
