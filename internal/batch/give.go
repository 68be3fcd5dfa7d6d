package batch

// Give hands good strings to what a batch serves, in the order of serves, each as many as it still misses of this batch. What is
// left over is nobody's.
func Give(good int, serves []Serve, given []Serve) (out []Serve, surplus int) {
	type place struct {
		order          string
		line, position int
	}
	at := func(s Serve) place { return place{string(s.Order), s.Line, s.Position} }
	had := map[place]int{}
	for _, g := range given {
		had[at(g)] += g.Strings
	}
	for _, s := range serves {
		n := min(good, max(s.Strings-had[at(s)], 0))
		if n > 0 {
			out = append(out, Serve{Order: s.Order, Line: s.Line, Position: s.Position, Strings: n})
			good -= n
		}
	}
	return out, good
}
