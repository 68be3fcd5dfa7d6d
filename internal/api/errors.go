package api

import (
	"errors"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humagin"

	"windingroom/internal/httpd"
	"windingroom/internal/problem"
)

// The framework would send the text of an error it does not know to the client; both hooks are replaced before any address
// is registered. Arrays of the contract are never null.
func init() {
	huma.DefaultArrayNullable = false
	huma.NewError = func(status int, _ string, errs ...error) huma.StatusError {
		return &Problem{problem.From(refusal(status, errs))}
	}
	huma.NewErrorWithContext = func(ctx huma.Context, status int, _ string, errs ...error) huma.StatusError {
		return &Problem{httpd.Problem(humagin.Unwrap(ctx), refusal(status, errs))}
	}
}

// Problem is a problem document (RFC 9457) as an answer.
type Problem struct{ problem.Problem }

// Error gives the sentence.
func (p *Problem) Error() string { return p.Sentence() }

// GetStatus gives the HTTP status.
func (p *Problem) GetStatus() int { return p.Status }

// ContentType gives the media type of the document.
func (*Problem) ContentType(string) string { return httpd.ProblemType }

// refusal finds the one error behind what the framework reports: a use case's own error, the fields that did not pass, or
// nothing but a status.
func refusal(status int, errs []error) error {
	var fields problem.Invalid
	for _, err := range errs {
		var detail *huma.ErrorDetail
		if !errors.As(err, &detail) {
			return err
		}
		fields = append(fields, problem.Field{Location: strings.TrimPrefix(detail.Location, "body."), Message: detail.Message})
	}
	if len(fields) > 0 {
		return fields
	}
	if err := problem.OfStatus(status); err != nil {
		return err
	}
	return errUnexplained
}

var errUnexplained = errors.New("the API framework refused a request without a reason")
