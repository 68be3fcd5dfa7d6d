package intake

// shelf finds things of one kind by their code without regard to case: what the shop has, overlaid by what the folder
// brings.
type shelf[T any] struct {
	kind  string // "wire"
	file  fileID // where a new one would stand
	items map[string]item[T]
}

type item[T any] struct {
	value T
	code  string // as the shop, or the first row that named it, spells it
	known bool   // the shop had it before
	line  int    // of the row that named it in this import; 0 for none
	sound bool   // value can be relied on; otherwise its row has been told
	other bool   // the shop had it, and what it now is may matter to what refers to it
}

func newShelf[T any](kind string, file fileID, known []T, code func(T) string) shelf[T] {
	s := shelf[T]{kind, file, make(map[string]item[T], len(known))}
	for _, v := range known {
		s.items[key(code(v))] = item[T]{value: v, code: code(v), known: true, sound: true}
	}
	return s
}

// claim finds what the shop has under the code of a row, or a new item of that spelling, and tells where another row of
// the file has the same code.
func claim[T any](r *resolution, s *shelf[T], a at, column, code string) (it item[T], first bool) {
	it, found := s.items[key(code)]
	if it.line > 0 {
		r.fail(s.file, a.line, column, "%s %s is already on line %d", s.kind, code, it.line)
		return it, false
	}
	if !found {
		it.code = code
	}
	it.line = a.line
	return it, true
}

// put keeps what a row brings, so that other rows may refer to it.
func (s *shelf[T]) put(it item[T], value T, sound bool) {
	it.value, it.sound = value, sound
	s.items[key(it.code)] = it
}

// refer finds what a row refers to. An empty code has been told, or was allowed. An unknown one is told with the file in
// which it should be, unless some of that file could not be read.
func refer[T any](r *resolution, s *shelf[T], from fileID, line int, column, code string) (it item[T], sound bool) {
	if code == "" {
		return it, false
	}
	it, found := s.items[key(code)]
	if !found && !r.folder.unread[s.file] {
		r.fail(from, line, column, "%s %s is unknown: it is neither in %s nor in the shop", s.kind, code, specs[s.file].name)
	}
	return it, found && it.sound
}

// count notes what became of a thing and says whether it has to be written.
func (r *resolution) count(id fileID, known, same bool) (write bool) {
	c := &r.counts[id]
	switch {
	case !known:
		c.Added++
	case !same:
		c.Changed++
	default:
		c.Unchanged++
	}
	return !known || !same
}
