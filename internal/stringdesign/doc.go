// Package stringdesign is the physics of a string at pitch: notes, tension, stress of the core, stiffness, and how the
// strings of a set balance. It is told the mass per length and knows nothing of how a string is wound.
package stringdesign
