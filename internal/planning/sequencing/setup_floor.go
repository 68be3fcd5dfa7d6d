package sequencing

// Floor is what no sequence can undercut, worked out independently of the search.
type Floor struct {
	Setup int64 // least possible setup if nothing were due
	Late  int64 // weighted lateness, ticks
}

const (
	ascentUpTo = 40  // batches
	rounds     = 200 // of the ascent
	fine       = 256 // multipliers are in parts of a unit
)

// Bound gives the floors of a problem.
//
// Setup: draw an edge from each batch to the next on its machine, and from each machine to its first batch, machines being
// joined at no cost. The edges of any plan connect all batches and machines, so that a least spanning tree (Prim) over the
// least setups between two batches, in either direction and on any machine, costs no more. In a plan every batch has at most
// two edges and every machine one. Multipliers on edges beyond that can only raise the bound (Held and Karp, The
// travelling-salesman problem and minimum spanning trees, Oper. Res. 18, 1970; from memory).
func Bound(p Problem) Floor {
	t := compile(&p)
	return Floor{Setup: t.setupFloor(), Late: t.lateFloor()}
}

func (t *tables) setupFloor() int64 {
	if t.n == 0 {
		return 0
	}
	tr := t.newTree()
	best := tr.span()
	if t.n <= ascentUpTo {
		best = max(best, tr.ascend())
	}
	return (best + fine - 1) / fine * t.unit
}

// tree is the graph of batches and machines; a node is a batch or, from n on, a machine. Weights are in parts of a unit.
type tree struct {
	n, nodes int
	weight   []int64 // by pair of nodes; far where there is no edge
	extra    []int64 // multiplier of each node
	most     []int   // edges a node may have
	degree   []int
}

func (t *tables) newTree() *tree {
	tr := &tree{n: t.n, nodes: t.n + len(t.Machines)}
	tr.weight, tr.extra = make([]int64, tr.nodes*tr.nodes), make([]int64, tr.nodes)
	tr.degree = make([]int, tr.nodes)
	for i := range tr.weight {
		tr.weight[i] = far / 4
	}
	set := func(i, j int, w int64) {
		if w < tr.weight[i*tr.nodes+j] {
			tr.weight[i*tr.nodes+j], tr.weight[j*tr.nodes+i] = w, w
		}
	}
	for k := range t.Machines {
		for j := range t.n {
			if !t.takes[k][j] {
				continue
			}
			st := state{int32(-1 - k), t.loaded[k]}
			set(t.n+k, j, int64(t.step(k, &st, int32(j)))*fine)
			for i := range j {
				if t.takes[k][i] {
					set(i, j, int64(min(t.pair[k][i*t.n+j], t.pair[k][j*t.n+i]))*fine)
				}
			}
		}
	}
	for i := range tr.nodes {
		if i < t.n {
			tr.most = append(tr.most, 2)
		} else {
			tr.most = append(tr.most, 1)
		}
	}
	return tr
}

// span gives the weight of a least spanning tree with the multipliers, less what they allow, and the nodes' degrees. The
// machines are one node at first, since they are joined at no cost.
func (tr *tree) span() int64 {
	nearest, from := make([]int64, tr.n), make([]int, tr.n)
	in := make([]bool, tr.n)
	clear(tr.degree)
	for j := range tr.n {
		nearest[j] = far
		for k := tr.n; k < tr.nodes; k++ {
			if w := tr.weight[k*tr.nodes+j] + tr.extra[k] + tr.extra[j]; w < nearest[j] {
				nearest[j], from[j] = w, k
			}
		}
	}
	var sum int64
	for range tr.n {
		next := -1
		for j := range tr.n {
			if !in[j] && (next < 0 || nearest[j] < nearest[next]) {
				next = j
			}
		}
		in[next] = true
		sum += nearest[next]
		tr.degree[next]++
		tr.degree[from[next]]++
		row := tr.weight[next*tr.nodes:]
		for j := range tr.n {
			if w := row[j] + tr.extra[next] + tr.extra[j]; !in[j] && w < nearest[j] {
				nearest[j], from[j] = w, next
			}
		}
	}
	for i, x := range tr.extra {
		sum -= x * int64(tr.most[i])
	}
	return sum
}

// ascend raises the multipliers of nodes with too many edges and lowers those of nodes with too few, by steps that shrink.
func (tr *tree) ascend() int64 {
	best := tr.span()
	step := max(fine, best/int64(8*tr.n))
	for round := range rounds {
		for i, d := range tr.degree {
			tr.extra[i] = max(0, tr.extra[i]+step*int64(d-tr.most[i]))
		}
		if sum := tr.span(); sum > best {
			best = sum
		} else if round%8 == 7 {
			step = max(fine/16, step*3/4)
		}
	}
	return best
}
