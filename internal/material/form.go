package material

import (
	"strings"

	"windingroom/internal/measure"
)

// FieldError names a field, in the spelling of import files and JSON, and says what would be right.
type FieldError struct {
	Field   string `json:"field"`
	Problem string `json:"problem"`
}

// Error joins field and problem into one sentence.
func (e FieldError) Error() string { return e.Field + " " + e.Problem }

// FieldErrors lists every field at fault.
type FieldErrors []FieldError

// Error lists them in one line.
func (all FieldErrors) Error() string {
	texts := make([]string, len(all))
	for i, e := range all {
		texts[i] = e.Error()
	}
	return strings.Join(texts, "; ")
}

// Unwrap lets errors.As find the first FieldError where one is enough.
func (all FieldErrors) Unwrap() []error {
	errs := make([]error, len(all))
	for i, e := range all {
		errs[i] = e
	}
	return errs
}

// Limits of what is taken for wire at all; common practice, no source. Finer or coarser is far more likely a slip of the
// unit or of the decimal point.
const (
	thinnest = 10 * measure.Micrometre
	thickest = 10 * measure.Millimetre
)

// Check lists the fields of the form that cannot be right, as FieldErrors, or gives nil.
func (f Form) Check() error {
	var all FieldErrors
	for _, problem := range []struct{ field, text string }{
		{"section", f.sectionProblem()},
		{"size_thou", sizeProblem(f.Size)},
		{"thickness_thou", f.thicknessProblem()},
		{"across", f.acrossProblem()},
	} {
		if problem.text != "" {
			all = append(all, FieldError{problem.field, problem.text})
		}
	}
	if len(all) == 0 {
		return nil
	}
	return all
}

func (f Form) sectionProblem() string {
	switch f.Section {
	case Round, Hex, Flat:
		return ""
	}
	return "must be round, hex or flat"
}

func (f Form) thicknessProblem() string {
	switch {
	case f.Section != Flat && f.Thickness != 0:
		return "belongs to a flat wire only"
	case f.Section != Flat:
		return ""
	case f.Thickness == 0:
		return "is needed for a flat wire"
	case f.Thickness > f.Size && f.Size > 0:
		return "must not exceed the width, which is size_thou"
	}
	return sizeProblem(f.Thickness)
}

func (f Form) acrossProblem() string {
	switch {
	case f.Across != "" && f.Across != AcrossFlats && f.Across != AcrossCorners:
		return "must be flats or corners"
	case f.Across == AcrossCorners && f.Section != Hex:
		return "corners belongs to a hex wire only"
	}
	return ""
}

// sizeProblem says what is wrong with a wire size, or nothing.
func sizeProblem(s measure.Size) string {
	switch {
	case s <= 0:
		return "must be more than zero"
	case s < thinnest:
		return "is finer than any wire: at least " + thinnest.ThouText() + " thou (" + thinnest.MillimetreText() + " mm)"
	case s > thickest:
		return "is too thick for string wire: at most " + thickest.ThouText() + " thou (" + thickest.MillimetreText() + " mm)"
	}
	return ""
}
