// Package problem turns an error into what may be said about it outside: a status, a type, a title, a sentence and the
// fields at fault, in the shape of RFC 9457 (Problem Details for HTTP APIs, read in a copy). The API, the pages and the
// command line answer from the same table. An error that the table does not know says nothing outside; its text belongs in
// the log.
package problem

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Problem is the body of an application/problem+json answer.
type Problem struct {
	Type      string  `json:"type"`
	Title     string  `json:"title"`
	Status    int     `json:"status"`
	Detail    string  `json:"detail,omitempty"`
	RequestID string  `json:"request_id,omitempty"`
	Errors    []Field `json:"errors,omitempty"`
}

// Field says what is wrong with one field, or one row of a file.
type Field struct {
	Location string `json:"location"` // "core.size_thou", "path.date", "orders.csv:12"
	Message  string `json:"message"`
}

// Invalid is an error that lists fields at fault.
type Invalid []Field

// Error lists the fields in one line.
func (v Invalid) Error() string {
	all := make([]string, len(v))
	for i, f := range v {
		all[i] = f.Location + ": " + f.Message
	}
	return strings.Join(all, "; ")
}

// At says that the value at a location is wrong.
func At(location string, err error) error {
	return Invalid{{Location: location, Message: err.Error()}}
}

// Name gives the last part of the type: "not-found".
func (p Problem) Name() string { return strings.TrimPrefix(p.Type, typePrefix) }

// Sentence gives the detail, or without one the title, as a sentence for people.
func (p Problem) Sentence() string {
	text := p.Detail
	if text == "" {
		text = p.Title
	}
	first, size := utf8.DecodeRuneInString(text)
	text = string(unicode.ToUpper(first)) + text[size:]
	if strings.ContainsAny(text[len(text)-1:], ".!?") {
		return text
	}
	return text + "."
}
