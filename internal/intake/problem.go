package intake

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Problem is one thing that is wrong with an import.
type Problem struct {
	File   string `json:"file"`   // name of the file; empty for the folder as a whole
	Line   int    `json:"line"`   // physical line on which the record starts, 1 upwards; 0 for the folder or a whole file
	Column string `json:"column"` // name of the column; empty where no single one is at fault
	Text   string `json:"text"`   // what is wrong and what would be right
}

// String prints file:line:column: text, without the parts that are not there.
func (p Problem) String() string {
	var b strings.Builder
	if p.File != "" {
		b.WriteString(p.File + ":")
	}
	if p.Line > 0 {
		fmt.Fprintf(&b, "%d:", p.Line)
	}
	if p.Column != "" {
		b.WriteString(p.Column + ":")
	}
	if b.Len() > 0 {
		b.WriteByte(' ')
	}
	return b.String() + p.Text
}

// Problems is everything that is wrong with an import, by file in the order of Files and by line. Per file at most
// maxProblems are told; one more then says how many follow.
type Problems []Problem

// Error prints one problem a line.
func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i, problem := range p {
		lines[i] = problem.String()
	}
	return strings.Join(lines, "\n")
}

// Err gives the problems as an error, or nil where there are none.
func (p Problems) Err() error {
	if len(p) == 0 {
		return nil
	}
	return p
}

// maxProblems bounds what is kept of one file, so that a million bad rows do not fill the memory.
const maxProblems = 1000

// report collects the problems of one file in one step.
type report struct {
	name string // as the file is called in the folder
	list []Problem
	more int // further problems that were counted only
}

func (r *report) add(line int, column, format string, args ...any) {
	if len(r.list) >= maxProblems {
		r.more++
		return
	}
	r.list = append(r.list, Problem{r.name, line, oneLine.Replace(column), oneLine.Replace(fmt.Sprintf(format, args...))})
}

// oneLine keeps a text from a quoted field from breaking the line of its problem.
var oneLine = strings.NewReplacer("\n", `\n`, "\t", `\t`)

// with merges the problems of both steps by line. Those left uncounted lie anywhere in the file, so the closing remark
// stands on the last line told.
func (r report) with(other report) Problems {
	all := slices.Concat(r.list, other.list)
	slices.SortStableFunc(all, func(a, b Problem) int { return cmp.Compare(a.Line, b.Line) })
	more := r.more + other.more
	if len(all) > maxProblems {
		more += len(all) - maxProblems
		all = all[:maxProblems]
	}
	if more > 0 {
		all = append(all, Problem{r.name, all[len(all)-1].Line, "", fmt.Sprintf("and %d more problems in this file", more)})
	}
	return all
}
