// Package exports turns answers of the workshop into workbooks. It takes values and an io.Writer: it reads no store, opens
// no file and knows no clock, so the same value always gives the same cells.
//
// Numbers, dates and durations are numeric cells with a format. Text that came from a person or a file is written as a text
// cell in the text format, so that nothing a customer typed can become a formula, now or when somebody edits the cell.
package exports
