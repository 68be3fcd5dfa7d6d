package promise

import (
	"crypto/sha256"
	"fmt"
	"hash"
	"slices"
	"sync"

	"windingroom/internal/planning"
)

// mostKept bounds what a memo keeps; the oldest goes first.
const mostKept = 256

// Memo keeps days that were planned and promises that were found, each by everything that it was found from: whatever changes in a shop, what
// is kept for it is never wrong, and is found again when it is as it was. The zero value is ready; several may use it at once; a nil one keeps
// nothing. It belongs to one shop, whose working days it takes as given.
type Memo struct {
	mu   sync.Mutex
	kept map[key]any
	keys []key
}

type key [sha256.Size]byte

// remembered gives what is kept under a key, else finds and keeps it.
func remembered[T any](m *Memo, of func() key, find func() (T, error)) (T, error) {
	if m == nil {
		return find()
	}
	k := of()
	m.mu.Lock()
	v, known := m.kept[k]
	m.mu.Unlock()
	if known {
		return v.(T), nil
	}
	found, err := find()
	if err != nil {
		return found, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.kept == nil {
		m.kept = map[key]any{}
	}
	if _, known := m.kept[k]; !known {
		m.keys = append(m.keys, k)
	}
	m.kept[k] = found
	if len(m.keys) > mostKept {
		delete(m.kept, m.keys[0])
		m.keys = slices.Delete(m.keys, 0, 1)
	}
	return found, nil
}

// dayKey names a day by all that it is planned from.
func dayKey(in planning.Input, kept *planning.Plan) key {
	h := sha256.New()
	writeInput(h, in)
	writeKept(h, kept)
	return key(h.Sum(nil))
}

// key names a question by all that its answer is found from.
func (r Room) key(asked Asked) key {
	h := sha256.New()
	in := r.Input
	in.Demands = slices.Concat(in.Demands, asked.Demands)
	writeInput(h, in)
	for _, d := range r.Days {
		kept := d.Kept
		d.Kept = nil
		fmt.Fprintf(h, "%#v", d)
		writeKept(h, kept)
	}
	fmt.Fprintf(h, "%d %t %#v %#v %#v %#v", r.Look, r.Brief, r.Receipts, r.Overdue, r.Released, asked)
	return key(h.Sum(nil))
}

// writeInput writes a room with what its strings take, the bench itself left out.
func writeInput(h hash.Hash, in planning.Input) {
	seen := map[string]bool{}
	for _, d := range in.Demands {
		name := fmt.Sprintf("%s %d", d.Recipe, d.Scale)
		if seen[name] {
			continue
		}
		seen[name] = true
		m, err := in.Bench.Making(d.Recipe, d.Scale)
		fmt.Fprintf(h, "%s %#v %v", name, m, err)
	}
	in.Bench = nil
	fmt.Fprintf(h, "%#v", in) // holds no pointers: every value is written out
}

func writeKept(h hash.Hash, kept *planning.Plan) {
	if kept != nil {
		fmt.Fprintf(h, "kept %#v", *kept)
	}
}
