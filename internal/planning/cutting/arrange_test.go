package cutting

import (
	"testing"

	"pgregory.net/rapid"
)

// changes counts the spools put on, the first one on an empty place too.
func changes(first int, pieces []Piece) int {
	n, on := 0, first
	for _, p := range pieces {
		if p.Spool != on {
			n++
		}
		on = p.Spool
	}
	return n
}

func TestArrange(t *testing.T) {
	for _, c := range []struct {
		name   string
		first  int
		loads  []int
		pieces []Piece
		want   []Piece
	}{
		{"a spool is put on once", -1, []int{73}, []Piece{{0, 5}, {1, 26}, {0, 18}, {2, 4}, {3, 12}, {1, 3}, {0, 5}}, []Piece{{0, 28}, {1, 29}, {2, 4}, {3, 12}}},
		{"the loaded one first", 2, []int{10}, []Piece{{0, 4}, {2, 6}}, []Piece{{2, 6}, {0, 4}}},
		{"the next one's last", -1, []int{10, 5}, []Piece{{0, 4}, {1, 6}, {0, 5}}, []Piece{{1, 6}, {0, 9}}},
		{"both", 1, []int{9, 5}, []Piece{{0, 3}, {1, 3}, {2, 3}, {0, 5}}, []Piece{{1, 3}, {2, 3}, {0, 8}}},
		{"what has no wire stays last", -1, []int{9}, []Piece{{0, 3}, {-1, 6}}, []Piece{{0, 3}, {-1, 6}}},
	} {
		st := Stretch{First: c.first}
		for _, n := range c.loads {
			st.Loads = append(st.Loads, Load{ngPerMg, n})
		}
		got := st.Arrange(c.pieces)
		same := len(got) == len(c.want)
		for i := range got {
			same = same && got[i] == c.want[i]
		}
		if !same {
			t.Errorf("%s: got %v, want %v", c.name, got, c.want)
		}
	}
}

// Arranging keeps what each load takes of each spool, puts a spool on once in a load, and never needs more changes; no order of
// the pieces of each load needs fewer.
func TestArrangeIsTheLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		st := Stretch{First: rapid.IntRange(-1, 3).Draw(t, "first")}
		var pieces []Piece
		for range rapid.IntRange(1, 4).Draw(t, "loads") {
			load := Load{Each: ngPerMg}
			for range rapid.IntRange(1, 4).Draw(t, "pieces") {
				p := Piece{rapid.IntRange(0, 3).Draw(t, "spool"), rapid.IntRange(1, 5).Draw(t, "strings")}
				pieces, load.Strings = append(pieces, p), load.Strings+p.Strings
			}
			st.Loads = append(st.Loads, load)
		}
		want := st.deal(pieces)
		before := changes(st.First, pieces)
		got := st.Arrange(pieces)
		for l, own := range st.deal(got) {
			taken := map[int]int{}
			for _, p := range want[l] {
				taken[p.Spool] += p.Strings
			}
			for _, p := range own {
				taken[p.Spool] -= p.Strings
			}
			for s, n := range taken {
				if n != 0 {
					t.Fatalf("load %d: spool %d gives %d fewer", l, s, n)
				}
			}
			if len(own) != len(want[l]) {
				t.Fatalf("load %d: %v", l, own)
			}
		}
		if n, least := changes(st.First, got), fewest(st.First, want); n != least || n > before {
			t.Fatalf("%v: %d changes, %d before, least %d", got, n, before, least)
		}
	})
}

// fewest tries every order of the pieces of every load.
func fewest(on int, loads [][]Piece) int {
	if len(loads) == 0 {
		return 0
	}
	best := -1
	permute(loads[0], 0, func(own []Piece) {
		if n := changes(on, own) + fewest(own[len(own)-1].Spool, loads[1:]); best < 0 || n < best {
			best = n
		}
	})
	return best
}

func permute(p []Piece, from int, do func([]Piece)) {
	if from == len(p) {
		do(p)
		return
	}
	for i := from; i < len(p); i++ {
		p[from], p[i] = p[i], p[from]
		permute(p, from+1, do)
		p[from], p[i] = p[i], p[from]
	}
}
