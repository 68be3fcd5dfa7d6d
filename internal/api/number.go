package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"strconv"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/internal/measure"
	"windingroom/internal/problem"
)

// Decimal is a decimal number as it was written, in JSON a number (12.5) or a text ("12.50"), so that none of its digits are lost.
type Decimal string

var errDecimal = errors.New("must be a number such as 12.5, or the same as text")

// UnmarshalJSON takes a number or a text.
func (d *Decimal) UnmarshalJSON(b []byte) error {
	if bytes.HasPrefix(b, []byte(`"`)) {
		var text string
		err := json.Unmarshal(b, &text)
		*d = Decimal(text)
		return err
	}
	if string(b) == "null" {
		*d = ""
		return nil
	}
	text := string(b)
	if bytes.ContainsAny(b, "eE") { // 1e3 is a number of JSON, and of nobody who weighs
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return errDecimal
		}
		text = strconv.FormatFloat(v, 'f', -1, 64)
	}
	*d = Decimal(text)
	return nil
}

// Schema describes a number or a text.
func (Decimal) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{OneOf: []*huma.Schema{{Type: "number"}, {Type: "string"}}}
}

// grams reads a mass of a field in grams.
func (d Decimal) grams(field string) (measure.Mass, error) {
	if d == "" {
		return 0, problem.At(field, errors.New("is needed: grams, such as 812.4"))
	}
	m, err := measure.ParseGrams(string(d))
	switch {
	case err != nil:
		return 0, problem.At(field, err)
	case m < 0:
		return 0, problem.At(field, errors.New(string(d)+" must not be negative, in grams"))
	}
	return m, nil
}
