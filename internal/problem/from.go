package problem

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"windingroom/internal/estimate"
	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/workshop"
)

// From says what may be said outside about an error.
func From(err error) Problem {
	if fields := fieldsOf(err); len(fields) > 0 {
		p := of(invalid)
		p.Errors = fields
		p.Detail = detailOf(fields)
		return p
	}
	if large := new(http.MaxBytesError); errors.As(err, &large) {
		err = fmt.Errorf("%w: at most %d bytes", ErrTooLarge, large.Limit)
	}
	for _, k := range kinds {
		for _, e := range k.errs {
			if errors.Is(err, e) {
				p := of(k)
				p.Detail = k.detail(err, e)
				return p
			}
		}
	}
	return of(internal)
}

// Unknown says whether an error has no row in the table, so that someone must look at it.
func Unknown(err error) bool { return From(err).Name() == internal.name }

func of(k kind) Problem {
	return Problem{Type: typePrefix + k.name, Title: k.title, Status: k.status}
}

// detail gives the text of an error up to its sentinel. What follows there is the cause inside, such as a driver's message,
// and stays inside. Kinds that carry nothing but such a cause give none.
func (k kind) detail(err, sentinel error) string {
	if k.name == "not-ready" || k.name == "database-away" || k.name == "took-too-long" || k.name == "gone-away" {
		return ""
	}
	text := err.Error()
	if k.http {
		return text
	}
	if i := strings.Index(text, sentinel.Error()); i >= 0 {
		return withoutKind(text[:i+len(sentinel.Error())], sentinel)
	}
	return text
}

// bareKinds only name what kind of refusal it is; others add something to the sentence before them.
var bareKinds = []error{workshop.ErrNotFound, workshop.ErrExists, workshop.ErrChanged, workshop.ErrShort, workshop.ErrStage,
	workshop.ErrReleased, workshop.ErrNotReleased, workshop.ErrForbidden, workshop.ErrLastOwner}

// withoutKind leaves the name of the kind away where a whole sentence stands before it: "no plan for 2026-03-02 yet, propose
// the day first" needs no "not found" behind it, "spool S-1" does.
func withoutKind(text string, kind error) string {
	const sentence = 5 // words
	said, ok := strings.CutSuffix(text, ": "+kind.Error())
	if ok && slices.Contains(bareKinds, kind) && len(strings.Fields(said)) >= sentence {
		return said
	}
	return text
}

// Text gives an error in one line for the command line, whose reader is in the shop and may see what the table does not know:
// a refusal as the table words it, anything else as it is.
func Text(err error) string {
	text := err.Error()
	if p := From(err); p.Name() != internal.name && p.Detail != "" {
		text = p.Detail
	}
	return strings.Join(strings.Fields(text), " ")
}

// fieldsOf gathers the fields at fault of a request: of a build, of the rows of an import, of an address.
func fieldsOf(err error) []Field {
	var own Invalid
	var build estimate.Invalid
	var rows intake.Problems
	switch {
	case errors.As(err, &own):
		return own
	case errors.As(err, &build):
		return named(build)
	case errors.As(err, &rows):
		return located(rows)
	}
	return nil
}

func named(list []material.FieldError) []Field {
	fields := make([]Field, len(list))
	for i, e := range list {
		fields[i] = Field{Location: e.Field, Message: e.Problem}
	}
	return fields
}

// located names a row as file:line:column, as the command line prints it.
func located(rows intake.Problems) []Field {
	fields := make([]Field, len(rows))
	for i, row := range rows {
		at := row
		at.Text = ""
		fields[i] = Field{Location: trimColon(at.String()), Message: row.Text}
	}
	return fields
}

func trimColon(text string) string { return strings.TrimRight(text, ": ") }

// told bounds the fields that the detail names; errors lists all of them.
const told = 3

func detailOf(fields []Field) string {
	text := Invalid(fields[:min(told, len(fields))]).Error()
	if more := len(fields) - told; more > 0 {
		text += fmt.Sprintf("; and %d more", more)
	}
	return text
}
