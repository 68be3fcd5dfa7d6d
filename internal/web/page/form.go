package page

import (
	"errors"
	"net/http"
	"net/url"
	"strings"

	"windingroom/internal/problem"
)

// Form is what was typed and what is wrong with it. A handler shows a page with the form it was sent, so that nothing typed is
// lost.
type Form struct {
	Values url.Values
	Wrong  map[string]string // by field
	Other  []string          // what is wrong with no single field
}

// NewForm takes what was typed, or what a form begins with.
func NewForm(values url.Values) *Form {
	if values == nil {
		values = url.Values{}
	}
	return &Form{Values: values, Wrong: map[string]string{}}
}

// Form reads the form that was sent.
func (r *Request) Form() (*Form, error) {
	if err := r.Request.ParseForm(); err != nil {
		if large := new(http.MaxBytesError); errors.As(err, &large) {
			return nil, err
		}
		return nil, problem.ErrMalformed
	}
	return NewForm(r.Request.PostForm), nil
}

// Get gives a value without the blanks around it.
func (f *Form) Get(name string) string { return strings.TrimSpace(f.Values.Get(name)) }

// Mark notes what is wrong with a field; nil is nothing. The first fault of a field stays.
func (f *Form) Mark(name string, err error) {
	if err != nil && f.Wrong[name] == "" {
		f.Wrong[name] = problem.From(problem.At(name, err)).Errors[0].Message
	}
}

// Read reads a field with a function that parses it and notes what is wrong with it.
func Read[Q any](f *Form, name string, parse func(string) (Q, error)) Q {
	v, err := parse(f.Get(name))
	f.Mark(name, err)
	return v
}

// OK says whether nothing is wrong.
func (f *Form) OK() bool { return len(f.Wrong) == 0 && len(f.Other) == 0 }

// Refuse notes what a use case refused, beside its fields where it names them. An error that is no refusal comes back: it is not for
// the form to show.
func (f *Form) Refuse(err error) error {
	p := problem.From(err)
	if err == nil || p.Status >= http.StatusInternalServerError {
		return err
	}
	if len(p.Errors) == 0 {
		f.Other = append(f.Other, p.Sentence())
	}
	for _, e := range p.Errors {
		if name := e.Location[strings.LastIndex(e.Location, ".")+1:]; f.known(name) {
			f.Wrong[name] = e.Message
		} else {
			f.Other = append(f.Other, e.Location+": "+e.Message)
		}
	}
	return nil
}

func (f *Form) known(name string) bool {
	_, ok := f.Values[name]
	return ok
}

// Field makes a field of the form, with what was typed and what is wrong with it. Its label is never left out.
func (f *Form) Field(name, label string) Field {
	return Field{ID: "f-" + name, Name: name, Label: label, Type: "text", Value: f.Values.Get(name), Error: f.Wrong[name]}
}

// Field is an input with its label, hint and fault.
type Field struct {
	ID, Name, Label string
	Hint            string
	Error           string
	Value           string
	Type            string // text, number, date, password, email, hidden, textarea, select, checkbox
	Unit            string // shown behind the input
	Mode            string // inputmode: decimal, numeric
	Needed          bool
	Large           bool   // a large field: the one that a scanner types into
	Focus           bool   // the page opens with it
	Proposed        bool   // its value is selected when a person comes to it, where the page has ProposedScript
	Complete        string // autocomplete
	Min, Max        string
	Options         []Option
	Suggest         []string // of a text field
}

// Option is one choice of a select.
type Option struct {
	Value, Text string
}

// Hinted adds a hint, such as an example.
func (f Field) Hinted(hint string) Field { f.Hint = hint; return f }

// Required marks the field as needed.
func (f Field) Required() Field { f.Needed = true; return f }

// Starting gives the value that stands there while nothing was typed.
func (f Field) Starting(value string) Field {
	if f.Value == "" && f.Error == "" {
		f.Value = value
	}
	return f
}

// Proposing marks what stands in the field as a proposal: what is scanned takes its place and is not added to it. The page needs
// ProposedScript; without JavaScript a person deletes the proposal.
func (f Field) Proposing() Field { f.Proposed = true; return f }

// Number makes it a field for a number in a unit; the keyboard of a tablet shows digits.
func (f Field) Number(unit string) Field { f.Unit, f.Mode = unit, "decimal"; return f }

// Whole makes it a field for a whole number.
func (f Field) Whole(unit string) Field { f.Unit, f.Mode = unit, "numeric"; return f }

// Date makes it a field for a day.
func (f Field) Date() Field { f.Type = "date"; return f }

// Password hides what is typed and never shows it again; complete is current-password or new-password.
func (f Field) Password(complete string) Field {
	f.Type, f.Complete, f.Value = "password", complete, ""
	return f
}

// Long makes it a field of several lines.
func (f Field) Long() Field { f.Type = "textarea"; return f }

// Check makes it a box to tick; its value is "yes".
func (f Field) Check() Field { f.Type = "checkbox"; return f }

// Choice makes it a choice of options.
func (f Field) Choice(options ...Option) Field { f.Type, f.Options = "select", options; return f }

// Suggesting offers values that may be typed.
func (f Field) Suggesting(values ...string) Field { f.Suggest = values; return f }

// Scanned makes it large and first: a scanner or a scale types into it.
func (f Field) Scanned() Field { f.Large, f.Focus, f.Complete = true, true, "off"; return f }

// Unique tells fields of the same name in several forms of a page apart.
func (f Field) Unique(suffix string) Field { f.ID += "-" + suffix; return f }

// Described lists what aria-describedby names.
func (f Field) Described() string {
	var ids []string
	if f.Hint != "" {
		ids = append(ids, f.ID+"-hint")
	}
	if f.Error != "" {
		ids = append(ids, f.ID+"-wrong")
	}
	return strings.Join(ids, " ")
}

// Said gives the faults of a form as a list to stand above it: with links for fields.
func (f *Form) Said(fields ...Field) Faults {
	s := Faults{Other: f.Other}
	for _, field := range fields {
		if field.Error != "" {
			s.Fields = append(s.Fields, field)
		}
	}
	return s
}

// Faults is what is wrong with a form, above it.
type Faults struct {
	Fields []Field
	Other  []string
}

// Any says whether there is a fault.
func (s Faults) Any() bool { return len(s.Fields)+len(s.Other) > 0 }
