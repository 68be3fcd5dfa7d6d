package page

import (
	"html/template"

	"windingroom/internal/workshop"
)

// Head opens a page: the place, the answer to the day's question as the heading, and what to know with it.
type Head struct {
	Place  string // small, above
	Answer string
	Note   string
}

// Action is a button, or a link that looks like one.
type Action struct {
	Text    string
	To      string // address
	Post    bool   // a form; otherwise a link
	Hidden  []Pair
	Kind    string // "" is the page's main act; "second", "quiet"; "danger" asks once more
	Confirm string // with kind danger: what will happen, shown before the button that does it
	File    bool   // the link leads to a file to keep
}

// Link is an action that leads somewhere.
func Link(text, to string) Action { return Action{Text: text, To: to, Kind: "second"} }

// Button is an action that does something, with its hidden fields as name, value, name, value.
func Button(text, to string, hidden ...string) Action {
	return Action{Text: text, To: to, Post: true, Hidden: pairs(hidden)}
}

// As changes how an action looks: second or quiet.
func (a Action) As(kind string) Action {
	a.Kind = kind
	return a
}

// Asking makes an action ask once more, saying what will happen. It works without JavaScript.
func (a Action) Asking(confirm string) Action {
	a.Kind, a.Confirm = "danger", confirm
	return a
}

// Tag is a state in a word.
type Tag struct {
	Text string
	Tone Tone
}

// Fact is a term and what is so: a row of a definition list. A link where it leads somewhere.
type Fact struct {
	Term, Text string
	Href       string
	Tone       Tone
}

// Stat is a number that answers a question at a glance.
type Stat struct {
	Label  string
	Number string
	Unit   string
	Note   string
	Href   string
	Tone   Tone
}

// Tab is a part of a place as a link.
type Tab struct {
	Text, Href string
	Here       bool
	Count      string          // beside the text; empty for none
	For        []workshop.Role // who may go there beside an owner; nil: everyone
}

// Tabs gives those of a place's parts that who is signed in may use, the one at the address here marked.
func (r *Request) Tabs(here string, all ...Tab) []Tab {
	var may []Tab
	for _, t := range all {
		t.Here = t.Href == here
		if t.For == nil || r.May(t.For...) {
			may = append(may, t)
		}
	}
	return may
}

// Fill is how full something is: a spool, a machine's day.
type Fill struct {
	Label  string // said to who cannot see it: "spool S-12: 412.0 g of 500.0 g free"
	Share  float64
	Marked float64 // share of it that is promised already, drawn apart; within Share
	Tone   Tone
}

// Of gives a fill for a part of a whole, both in the same unit, kept within 0 and 1.
func Of(label string, part, whole float64) Fill {
	f := Fill{Label: label}
	if whole > 0 {
		f.Share = min(1, max(0, part/whole))
	}
	return f
}

// Width and MarkedWidth are the bars in thousandths.
func (f Fill) Width() int { return int(1000 * min(1, max(0, f.Share))) }

// MarkedWidth is the promised part.
func (f Fill) MarkedWidth() int { return int(1000 * min(f.Share, max(0, f.Marked))) }

// Empty says that there is nothing and what to do about it.
type Empty struct {
	Title   string
	Text    string
	Command string // a command that does it, without a page that does
	Actions []Action
}

// Chart is a drawing made on the server, with its words and its numbers.
type Chart struct {
	ID    string // unique on the page
	Title string
	Desc  string        // what it shows, said to who cannot see it
	SVG   template.HTML // from package chart, which escapes what it writes
	Key   []KeyEntry
	Table Table // the numbers behind it
}

// KeyEntry explains a colour of a chart: one of the chart's inks.
type KeyEntry struct{ Ink, Text string }
