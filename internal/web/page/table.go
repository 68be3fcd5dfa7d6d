package page

import (
	"net/url"
	"slices"
	"strconv"
	"strings"
)

// Column is one column of a table of rows R: how a row shows in it and how rows compare by it.
type Column[R any] struct {
	Key     string // in addresses: sort=KEY
	Head    string
	Number  bool // to the right, digits of equal width
	Cell    func(R) Cell
	Compare func(a, b R) int // nil: the table does not sort by it
}

// Cell is what stands in one place of a table.
type Cell struct {
	Text string
	Href string // makes the text a link
	Note string // soft, below
	Code bool   // a code such as that of a spool
	Tone Tone
	Tags []Tag
	Fill *Fill
	Act  *Action

	Codes []Cell // after the text: codes, each with its own address, kept whole at the end of a line
	More  string // behind the codes
}

// Acts gives the cell's action as a list of none or one, as templates take actions.
func (c Cell) Acts() []Action {
	if c.Act == nil {
		return nil
	}
	return []Action{*c.Act}
}

// Text is a plain cell.
func Text(text string) Cell { return Cell{Text: text} }

// Code is a cell with a code that leads to its page; without an address it leads nowhere.
func Code(code, href string) Cell { return Cell{Text: code, Href: href, Code: true} }

// Choice is a filter of a table: rows whose value is the chosen one, KEY=VALUE in the address.
type Choice[R any] struct {
	Key     string
	Label   string
	Options []Option // without the one for all
	Keep    func(row R, value string) bool
}

// Spec says what a table of rows R is.
type Spec[R any] struct {
	ID      string // unique on the page
	Caption string
	Path    string   // address of the page
	Keep    []string // other names of the query that links keep, such as the day that is shown
	Columns []Column[R]
	Choices []Choice[R]
	Search  bool   // a field that looks for text in all cells
	Sort    string // key that rows are sorted by unless the address says otherwise; empty: as they come
	Size    int    // rows on a page; 0: 100
	Empty   Empty
}

// Table is a table ready to be shown.
type Table struct {
	ID, Caption string
	Path        string
	Head        []HeadCell
	Rows        [][]Cell
	Foot        []Cell // totals, one cell for each column; nil: none
	Search      bool
	Query       string
	Choices     []Chosen
	Hidden      []Pair // what the filter's form keeps
	Filtered    bool   // a filter is set
	Clear       string // address without filters
	Total       int    // rows without filters
	Found       int    // rows with them
	Pages       Pages
	Empty       Empty
}

// HeadCell is the head of a column: Href sorts by it, Sorted is its aria-sort.
type HeadCell struct {
	Text   string
	Number bool
	Href   string
	Sorted string // ascending, descending; empty: not by it
}

// Chosen is a choice with what is chosen.
type Chosen struct {
	Key, Label, Value string
	Options           []Option
}

// Pages leads through a long table.
type Pages struct {
	Here, Last       int // from 1
	Previous, Next   string
	From, To, Number int
}

// RowsOnPage is how many rows a page of a table shows unless its Spec says otherwise.
const RowsOnPage = 100

// NewTable shows rows as the query of an address asks: sort=KEY, dir=desc, q=TEXT, page=N and the choices' keys.
func NewTable[R any](query url.Values, spec Spec[R], rows []R) Table {
	found := filtered(query, spec, rows)
	by, down := spec.Order(query)
	found = sorted(spec.Columns, by, down, found)
	t := newTable(query, spec, len(found), len(rows))
	return withRows(t, spec.Columns, found[t.Pages.first():t.Pages.To])
}

// NewPage shows one page of rows that were chosen and sorted before, as where the database does it: found of total rows.
func NewPage[R any](query url.Values, spec Spec[R], rows []R, found, total int) Table {
	return withRows(newTable(query, spec, found, total), spec.Columns, rows)
}

func withRows[R any](t Table, columns []Column[R], rows []R) Table {
	for _, row := range rows {
		t.Rows = append(t.Rows, cells(columns, row))
	}
	return t
}

// newTable is a table without its rows.
func newTable[R any](query url.Values, spec Spec[R], found, total int) Table {
	t := Table{ID: spec.ID, Caption: spec.Caption, Path: spec.Path, Search: spec.Search, Query: query.Get("q"), Total: total, Found: found, Empty: spec.Empty}
	v := view{path: spec.Path, query: keeping(query, append(spec.names(), spec.Keep...))}
	t.Filtered = spec.Search && strings.TrimSpace(t.Query) != ""
	for _, c := range spec.Choices {
		t.Choices = append(t.Choices, Chosen{c.Key, c.Label, query.Get(c.Key), c.Options})
		t.Filtered = t.Filtered || query.Get(c.Key) != ""
	}
	by, down := spec.Order(query)
	for _, c := range spec.Columns {
		t.Head = append(t.Head, headCell(c, v, by, down))
	}
	t.Pages = v.pages(query.Get("page"), found, spec.Size)
	stays := keeping(query, append([]string{"sort", "dir"}, spec.Keep...))
	for name := range stays {
		t.Hidden = append(t.Hidden, Pair{name, stays.Get(name)})
	}
	slices.SortFunc(t.Hidden, func(a, b Pair) int { return strings.Compare(a.Name, b.Name) })
	t.Clear = view{spec.Path, stays}.with()
	return t
}

// filtered gives the rows that the query asks for.
func filtered[R any](query url.Values, spec Spec[R], rows []R) []R {
	found := slices.Clone(rows)
	for _, c := range spec.Choices {
		if value := query.Get(c.Key); value != "" {
			found = slices.DeleteFunc(found, func(row R) bool { return !c.Keep(row, value) })
		}
	}
	if words := strings.Fields(strings.ToLower(query.Get("q"))); spec.Search && len(words) > 0 {
		found = slices.DeleteFunc(found, func(row R) bool { return !holds(cells(spec.Columns, row), words) })
	}
	return found
}

// holds says whether each word stands in some cell.
func holds(row []Cell, words []string) bool {
	var b strings.Builder
	for _, c := range row {
		b.WriteString(strings.ToLower(c.Text + "\n" + c.Note + "\n"))
		for _, code := range c.Codes {
			b.WriteString(strings.ToLower(code.Text + "\n"))
		}
		for _, tag := range c.Tags {
			b.WriteString(strings.ToLower(tag.Text) + "\n")
		}
	}
	text := b.String()
	return !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(text, w) })
}

// Order gives the column to sort by, one that can be, and whether the largest comes first.
func (s Spec[R]) Order(query url.Values) (key string, down bool) {
	key, down = query.Get("sort"), query.Get("dir") == "desc"
	if !slices.ContainsFunc(s.Columns, func(c Column[R]) bool { return c.Key == key && c.Compare != nil }) {
		return s.Sort, false
	}
	return key, down
}

func sorted[R any](columns []Column[R], key string, down bool, rows []R) []R {
	i := slices.IndexFunc(columns, func(c Column[R]) bool { return key != "" && c.Key == key && c.Compare != nil })
	if i < 0 {
		return rows
	}
	slices.SortStableFunc(rows, func(a, b R) int {
		if down {
			a, b = b, a
		}
		return columns[i].Compare(a, b)
	})
	return rows
}

func headCell[R any](c Column[R], v view, by string, down bool) HeadCell {
	h := HeadCell{Text: c.Head, Number: c.Number}
	if c.Compare == nil {
		return h
	}
	turn := ""
	if c.Key == by {
		h.Sorted = "descending"
		if !down {
			h.Sorted, turn = "ascending", "desc"
		}
	}
	h.Href = v.with("sort", c.Key, "dir", turn, "page", "")
	return h
}

// view is an address of a table: links change some of its query.
type view struct {
	path  string
	query url.Values
}

// with gives the address with some names changed; an empty value takes the name away.
func (v view) with(changes ...string) string {
	q := url.Values{}
	for name, value := range v.query {
		q[name] = value
	}
	for _, p := range pairs(changes) {
		q.Del(p.Name)
		if p.Value != "" {
			q.Set(p.Name, p.Value)
		}
	}
	if len(q) == 0 {
		return v.path
	}
	return v.path + "?" + q.Encode()
}

// pages finds the part of the rows that a page shows; one that does not exist is the nearest that does.
func (v view) pages(asked string, rows, size int) Pages {
	if size <= 0 {
		size = RowsOnPage
	}
	p := Pages{Last: max(1, (rows+size-1)/size), Number: rows}
	n, _ := strconv.Atoi(asked) // anything else is the first page
	p.Here = min(p.Last, max(1, n))
	p.From, p.To = min(rows, (p.Here-1)*size+1), min(rows, p.Here*size)
	if p.Here > 1 {
		p.Previous = v.with("page", strconv.Itoa(p.Here-1))
	}
	if p.Here < p.Last {
		p.Next = v.with("page", strconv.Itoa(p.Here+1))
	}
	return p
}

func (p Pages) first() int { return max(0, p.From-1) }

// Plain shows rows as they come, without sorting, filters or pages; for small tables and those behind charts.
func Plain[R any](id, caption string, columns []Column[R], rows []R) Table {
	t := Table{ID: id, Caption: caption, Total: len(rows), Found: len(rows), Pages: Pages{Here: 1, Last: 1}}
	for _, c := range columns {
		t.Head = append(t.Head, HeadCell{Text: c.Head, Number: c.Number})
	}
	for _, row := range rows {
		t.Rows = append(t.Rows, cells(columns, row))
	}
	return t
}

func cells[R any](columns []Column[R], row R) []Cell {
	all := make([]Cell, len(columns))
	for i, c := range columns {
		all[i] = c.Cell(row)
	}
	return all
}

// names are those of the query that belong to the table.
func (s Spec[R]) names() []string {
	all := []string{"sort", "dir", "q", "page"}
	for _, c := range s.Choices {
		all = append(all, c.Key)
	}
	return all
}

func keeping(query url.Values, names []string) url.Values {
	kept := url.Values{}
	for _, n := range names {
		if v := query.Get(n); v != "" {
			kept.Set(n, v)
		}
	}
	return kept
}
