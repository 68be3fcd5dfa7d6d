package page_test

import (
	"net/url"
	"slices"
	"testing"

	"windingroom/internal/web/page"
)

func first(t page.Table) []string {
	var all []string
	for _, row := range t.Rows {
		all = append(all, row[0].Text)
	}
	return all
}

func TestTableByAddress(t *testing.T) {
	tests := []struct {
		name, query string
		want        []string // of the first column, the first two
		found, last int
	}{
		{"as it comes", "", []string{"S-000", "S-001"}, 35, 4},
		{"largest first", "sort=mass&dir=desc", []string{"S-027", "S-013"}, 35, 4},
		{"a key that does not exist", "sort=<x>&dir=desc", []string{"S-000", "S-001"}, 35, 4},
		{"second page", "page=2", []string{"S-010", "S-011"}, 35, 4},
		{"a page beyond", "page=99", []string{"S-030", "S-031"}, 35, 4},
		{"no page", "page=-1", []string{"S-000", "S-001"}, 35, 4},
		{"words in any cell", "q=ni-24+remnant", []string{"S-002", "S-005"}, 11, 2},
		{"a choice", "wire=NI-24&sort=spool&dir=desc", []string{"S-032", "S-029"}, 11, 2},
		{"both", "wire=NI-24&q=s-002", []string{"S-002"}, 1, 1},
		{"nothing", "q=nowhere", nil, 0, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			q, err := url.ParseQuery(tt.query)
			if err != nil {
				t.Fatal(err)
			}
			got := page.NewTable(q, spec, spools(35))
			if names := first(got); !slices.Equal(names[:min(2, len(names))], tt.want) {
				t.Errorf("shows %v, want %v", names, tt.want)
			}
			if got.Found != tt.found || got.Total != 35 || got.Pages.Last != tt.last {
				t.Errorf("found %d of %d on %d pages, want %d of 35 on %d", got.Found, got.Total, got.Pages.Last, tt.found, tt.last)
			}
		})
	}
}

func TestTableLinksKeepWhatIsChosen(t *testing.T) {
	q := url.Values{"sort": {"wire"}, "q": {"ni"}, "wire": {"NI-24"}, "page": {"2"}, "day": {"2026-03-02"}, "other": {"x"}}
	got := page.NewTable(q, spec, spools(35))
	for i, want := range []page.HeadCell{
		{Text: "Spool", Href: "/gallery?day=2026-03-02&q=ni&sort=spool&wire=NI-24"},
		{Text: "Wire", Href: "/gallery?day=2026-03-02&dir=desc&q=ni&sort=wire&wire=NI-24", Sorted: "ascending"},
		{Text: "Free, g", Number: true, Href: "/gallery?day=2026-03-02&q=ni&sort=mass&wire=NI-24"},
		{Text: "Fill"},
	} {
		if got.Head[i] != want {
			t.Errorf("head %d is %+v, want %+v", i, got.Head[i], want)
		}
	}
	if want := "/gallery?day=2026-03-02&page=1&q=ni&sort=wire&wire=NI-24"; got.Pages.Previous != want || got.Pages.Next != "" {
		t.Errorf("leads to %q and %q, want %q", got.Pages.Previous, got.Pages.Next, want)
	}
	if want := "/gallery?day=2026-03-02&sort=wire"; got.Clear != want {
		t.Errorf("without filters it is %q, want %q", got.Clear, want)
	}
	if want := []page.Pair{{Name: "day", Value: "2026-03-02"}, {Name: "sort", Value: "wire"}}; !slices.Equal(got.Hidden, want) {
		t.Errorf("the form keeps %v, want %v", got.Hidden, want)
	}
}
