package problem_test

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"windingroom/internal/estimate"
	"windingroom/internal/intake"
	"windingroom/internal/problem"
	"windingroom/internal/stock"
	"windingroom/internal/winding"
	"windingroom/internal/workshop"
)

var errDriver = errors.New("UNIQUE constraint failed: spools.code at /var/lib/secret.db")

func TestFrom(t *testing.T) {
	tests := []struct {
		name       string
		err        error
		wantStatus int
		wantName   string
		wantDetail string
	}{
		{"nobody", workshop.ErrUnknownPerson, 401, "sign-in-needed", "nobody is signed in"},
		{"wrong role", fmt.Errorf("planning a day needs the role lead or owner, and Ann is winder: %w", workshop.ErrForbidden),
			403, "forbidden", "planning a day needs the role lead or owner, and Ann is winder"},
		{"missing", fmt.Errorf("order O-1: %w", workshop.ErrNotFound), 404, "not-found", "order O-1: not found"},
		{"taken, with a driver's text", fmt.Errorf("spool S1: %w (%w)", workshop.ErrExists, errDriver), 409, "already-there", "spool S1: already there"},
		{"changed because short", fmt.Errorf("spool S1 no longer has 2 g free: %w (%w)", workshop.ErrChanged, workshop.ErrShort),
			409, "changed", "spool S1 no longer has 2 g free"},
		{"short", workshop.ErrShort, 409, "not-enough-wire", "not enough free wire"},
		{"released", workshop.ErrReleased, 409, "released", "the day is already released"},
		{"not released", workshop.ErrNotReleased, 409, "not-released", "the day is not released yet"},
		{"closed", fmt.Errorf("%w (%w)", workshop.ErrClosed, errDriver), 409, "closed", "the month is closed"},
		{"database away", fmt.Errorf("spools: %w (%w)", workshop.ErrAway, errDriver), 503, "database-away", ""},
		{"not ready", fmt.Errorf("%w (%w)", workshop.ErrNotReady, errDriver), 503, "not-ready", ""},
		{"ledger", fmt.Errorf("spool S1 holds 1 g and cannot give 2 g: %w", stock.ErrNegative), 409, "ledger",
			"spool S1 holds 1 g and cannot give 2 g: a spool cannot hold less than nothing"},
		{"build", estimate.Invalid{{Field: "core.size_thou", Problem: "must be more than zero"}}, 422, "invalid", "core.size_thou: must be more than zero"},
		{"stored recipe", fmt.Errorf("recipe R: %w", winding.Problems{{Field: "core", Problem: "has no size"}}), 422, "cannot-be-wound", "recipe R: core has no size"},
		{"own field", problem.At("path.date", errors.New("is no date")), 422, "invalid", "path.date: is no date"},
		{"large", fmt.Errorf("reading: %w", &http.MaxBytesError{Limit: 10}), 413, "too-large", "the request is larger than this address takes: at most 10 bytes"},
		{"cancelled", fmt.Errorf("query: %w", context.Canceled), 499, "gone-away", ""},
		{"deadline", fmt.Errorf("query: %w", context.DeadlineExceeded), 503, "took-too-long", ""},
		{"unknown", errDriver, 500, "internal", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := problem.From(tt.err)
			if p.Status != tt.wantStatus || p.Name() != tt.wantName || p.Detail != tt.wantDetail {
				t.Errorf("got %d %s %q, want %d %s %q", p.Status, p.Name(), p.Detail, tt.wantStatus, tt.wantName, tt.wantDetail)
			}
			if said := fmt.Sprintf("%+v", p); strings.Contains(said, "constraint") || strings.Contains(said, "secret") {
				t.Errorf("says too much: %s", said)
			}
			if title, help, ok := problem.Help(p.Name()); !ok || title != p.Title || help == "" {
				t.Errorf("nothing helps with %s: %q %q", p.Name(), title, help)
			}
		})
	}
}

func TestFromListsEveryRow(t *testing.T) {
	rows := intake.Problems{
		{File: "orders.csv", Line: 2, Column: "quantity", Text: "must be a whole number"},
		{File: "orders.csv", Line: 3, Text: "repeats line 2"},
		{File: "wires.csv", Text: "is empty"},
		{Text: "holds no file to import"},
	}
	p := problem.From(fmt.Errorf("import: %w", rows))
	want := []problem.Field{
		{Location: "orders.csv:2:quantity", Message: "must be a whole number"},
		{Location: "orders.csv:3", Message: "repeats line 2"},
		{Location: "wires.csv", Message: "is empty"},
		{Location: "", Message: "holds no file to import"},
	}
	if len(p.Errors) != len(want) {
		t.Fatalf("lists %d rows, want %d", len(p.Errors), len(want))
	}
	for i := range want {
		if p.Errors[i] != want[i] {
			t.Errorf("row %d is %+v, want %+v", i, p.Errors[i], want[i])
		}
	}
	if want := "and 1 more"; !strings.HasSuffix(p.Detail, want) {
		t.Errorf("detail %q does not end with %q", p.Detail, want)
	}
}

func TestUnknown(t *testing.T) {
	if !problem.Unknown(errDriver) {
		t.Error("a driver's error passes as known")
	}
	if problem.Unknown(workshop.ErrNotFound) {
		t.Error("a refusal passes as unknown")
	}
}

func TestSentence(t *testing.T) {
	tests := []struct{ detail, want string }{
		{"order O-1: not found", "Order O-1: not found."},
		{"ends already.", "Ends already."},
		{"", "Not found."},
	}
	for _, tt := range tests {
		if got := (problem.Problem{Title: "Not found", Detail: tt.detail}).Sentence(); got != tt.want {
			t.Errorf("sentence of %q is %q, want %q", tt.detail, got, tt.want)
		}
	}
}

func TestOfStatus(t *testing.T) {
	if got := problem.OfStatus(http.StatusUnsupportedMediaType); got != problem.ErrMediaType {
		t.Errorf("415 is %v", got)
	}
	if got := problem.OfStatus(http.StatusConflict); got != nil {
		t.Errorf("409 stands for several refusals, yet gives %v", got)
	}
}
