package planning

import (
	"windingroom/internal/order"
	"windingroom/internal/planning/cutting"
)

// served are the orders of each batch, by machine and position.
type served [][][]order.Code

func (d *draft) served() served {
	all := make(served, len(d.lanes))
	for m, lane := range d.serves() {
		all[m] = make([][]order.Code, len(lane))
		for at, serves := range lane {
			for _, s := range serves {
				if n := len(all[m][at]); n == 0 || all[m][at][n-1] != s.Order { // they are sorted
					all[m][at] = append(all[m][at], s.Order)
				}
			}
		}
	}
	return all
}

// mark numbers the orders that have strings in several batches of a wire, and notes them with their loads: their strings are
// to be of one lot where possible.
func (s served) mark(stretches []stretch, batches []cutting.Stretch) {
	times, number := map[order.Code]int{}, map[order.Code]int{}
	for _, st := range stretches {
		for _, l := range st.loads {
			for _, o := range s[l.machine][l.at] {
				times[o]++
			}
		}
	}
	for i, st := range stretches {
		batches[i].Orders = make([][]int, len(st.loads))
		for k, l := range st.loads {
			for _, o := range s[l.machine][l.at] {
				if times[o] < 2 {
					continue
				}
				if _, known := number[o]; !known {
					number[o] = len(number)
				}
				batches[i].Orders[k] = append(batches[i].Orders[k], number[o])
			}
		}
	}
}
