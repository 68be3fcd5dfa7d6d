package material

import "windingroom/internal/measure"

// FieldError names a field, in the spelling of import files and JSON, and says what would be right.
type FieldError struct {
	Field   string `json:"field"`
	Problem string `json:"problem"`
}

// Error joins field and problem into one sentence.
func (e FieldError) Error() string { return e.Field + " " + e.Problem }

// Limits of what is taken for wire at all; common practice, no source. Finer or coarser is far more likely a slip of the
// unit or of the decimal point.
const (
	thinnest = 10 * measure.Micrometre
	thickest = 10 * measure.Millimetre
)

// Check says which field of the form cannot be right, as a FieldError, or nil.
func (f Form) Check() error {
	switch f.Section {
	case Round, Hex, Flat:
	default:
		return FieldError{"section", "must be round, hex or flat"}
	}
	if problem := sizeProblem(f.Size); problem != "" {
		return FieldError{"size_thou", problem}
	}
	if err := f.checkThickness(); err != nil {
		return err
	}
	return f.checkAcross()
}

func (f Form) checkThickness() error {
	switch {
	case f.Section != Flat && f.Thickness != 0:
		return FieldError{"thickness_thou", "belongs to a flat wire only"}
	case f.Section != Flat:
		return nil
	case f.Thickness == 0:
		return FieldError{"thickness_thou", "is needed for a flat wire"}
	case f.Thickness > f.Size:
		return FieldError{"thickness_thou", "must not exceed the width, which is size_thou"}
	}
	if problem := sizeProblem(f.Thickness); problem != "" {
		return FieldError{"thickness_thou", problem}
	}
	return nil
}

func (f Form) checkAcross() error {
	switch {
	case f.Across != "" && f.Across != AcrossFlats && f.Across != AcrossCorners:
		return FieldError{"across", "must be flats or corners"}
	case f.Across == AcrossCorners && f.Section != Hex:
		return FieldError{"across", "corners belongs to a hex wire only"}
	}
	return nil
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
