// Package material describes what strings are made of: alloys with their density, magnetism and strength, and the wire the
// shop stocks of them. It knows nothing of stock levels, recipes or orders.
package material
