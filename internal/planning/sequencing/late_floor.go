package sequencing

import "slices"

// assignUpTo is how many orders the assignment takes; beyond it each order is bounded alone.
const assignUpTo = 250

// lateFloor gives a weighted lateness that no plan can undercut.
//
// No order is complete before its longest batch could be, alone and at once on its best machine, nor before all machines
// together could wind all its batches, each with the least setup that it can have. And when the i-th order is complete, the
// machines have done the work of i orders; a batch that serves several orders counts with equal shares, so that the sum is at
// least that of the i smallest orders. Which order is the i-th is left to the cheapest assignment.
func (t *tables) lateFloor() int64 {
	if len(t.Orders) == 0 {
		return 0
	}
	work, alone := t.leastWork()
	own, shares := make([]int64, len(t.Orders)), make([]int64, len(t.Orders))
	m := int64(len(t.Machines))
	var single int64
	for o, order := range t.Orders {
		var sum int64
		for _, j := range order.Batches {
			sum += work[j]
			own[o] = max(own[o], alone[j])
			shares[o] += work[j] / int64(len(t.serves[j]))
		}
		own[o] = max(own[o], (sum+m-1)/m)
		single += t.late(int32(o), own[o])
	}
	if len(t.Orders) > assignUpTo {
		return single
	}
	slices.Sort(shares)
	cost := make([][]int64, len(t.Orders))
	var before int64
	ends := make([]int64, len(shares))
	for i, s := range shares {
		before += s
		ends[i] = before / m
	}
	for o := range t.Orders {
		for i := range ends {
			cost[o] = append(cost[o], t.late(int32(o), max(own[o], ends[i])))
		}
	}
	return max(single, assign(cost))
}

// leastWork gives for each batch its winding and least setup on its best machine, and when it could be wound alone.
func (t *tables) leastWork() (work, alone []int64) {
	for j := range t.n {
		least, first := far, far
		for k := range t.Machines {
			if !t.takes[k][j] {
				continue
			}
			st := state{int32(-1 - k), t.loaded[k]}
			setup := int64(t.step(k, &st, int32(j)))
			for i := range t.n {
				if i != j && t.takes[k][i] {
					setup = min(setup, int64(t.pair[k][i*t.n+j]))
				}
			}
			w := setup*t.unit + t.run[k][j]
			least, first = min(least, w), min(first, t.wall(k, w))
		}
		if least == far {
			least, first = 0, 0
		}
		work, alone = append(work, least), append(alone, first)
	}
	return work, alone
}

// assign gives the least cost of giving each row a column of its own (Kuhn's Hungarian method with potentials, in the
// shortest augmenting path form; from memory).
func assign(cost [][]int64) int64 {
	n := len(cost)
	rows, cols := make([]int64, n+1), make([]int64, n+1) // potentials
	match, way := make([]int, n+1), make([]int, n+1)     // row of each column; columns are counted from 1
	least, used := make([]int64, n+1), make([]bool, n+1)
	for i := 1; i <= n; i++ {
		match[0] = i
		for j := range least {
			least[j], used[j] = far, false
		}
		at := 0
		for match[at] != 0 {
			used[at] = true
			row, next, delta := match[at], 0, far
			for j := 1; j <= n; j++ {
				if used[j] {
					continue
				}
				if c := cost[row-1][j-1] - rows[row] - cols[j]; c < least[j] {
					least[j], way[j] = c, at
				}
				if least[j] < delta {
					delta, next = least[j], j
				}
			}
			for j := range least {
				if used[j] {
					rows[match[j]] += delta
					cols[j] -= delta
				} else {
					least[j] -= delta
				}
			}
			at = next
		}
		for at != 0 {
			match[at] = match[way[at]]
			at = way[at]
		}
	}
	var sum int64
	for j := 1; j <= n; j++ {
		sum += cost[match[j]-1][j-1]
	}
	return sum
}
