package intake

import "fmt"

// Problem says what is wrong with a row of the delivery, counted from 0 in the order of Receipts.Spools, where only the caller knows.
func (d *Delivery) Problem(row int, column, format string, args ...any) Problem {
	p := Problem{File: d.report.name, Column: column, Text: oneLine.Replace(fmt.Sprintf(format, args...))}
	if row >= 0 && row < len(d.rows) {
		p.Line, p.Column = d.rows[row].line, d.rows[row].place+column
	}
	return p
}
