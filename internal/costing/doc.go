// Package costing says what wire on hand is worth and what strings cost to make. It reads the ledger's movements in the order
// in which they took effect and values them by three cost formulas side by side (IAS 2, Inventories, paragraphs 23 to 27,
// read in a copy): specific identification as the ledger has it, first in first out, and the moving average. On that stand the
// roll-forward of a month, the cost of a batch and of the orders it serves, variances against a standard, and journal lines.
//
// Every amount is a whole number of minor units. Whatever is split or drawn in parts is rounded cumulatively or by largest
// remainder, so that nothing leaks: what came in is what went out and what is left.
package costing
