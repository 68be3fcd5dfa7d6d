// Package measure holds the quantities of the trade as types, so that a gauge cannot be passed where a mass is wanted.
//
// Two kinds of quantity live here. What is counted, stored and paid for is an exact integer: Size in nanometres, Mass in
// milligrams, MassEach in nanograms. What only passes through a calculation is a float64 in SI units: Length, Area, Force,
// Stress, Density, LinearDensity, Frequency.
//
// Unit definitions are exact: 1 in = 25.4 mm and 1 lb = 453.59237 g (international yard and pound agreement of 1959; NIST
// SP 811, appendix B, from memory), g_n = 9.80665 m/s2 (third CGPM, 1901, from memory), so 1 lbf = 4.4482216152605 N.
package measure
