package api

import (
	"bytes"
	"encoding/json"

	"github.com/danielgtaylor/huma/v2"
)

// TextOrNull is a text of a change: left out, what stands stays; null or an empty text takes it away.
type TextOrNull struct{ text *string }

// UnmarshalJSON takes a text or null.
func (t *TextOrNull) UnmarshalJSON(b []byte) error {
	t.text = new(string)
	if string(bytes.TrimSpace(b)) == "null" {
		return nil
	}
	return json.Unmarshal(b, t.text)
}

// Schema describes a text or null.
func (TextOrNull) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{Type: "string", Nullable: true}
}

// DecimalOrNull is a decimal number of a change, in the same way.
type DecimalOrNull struct{ text *string }

// UnmarshalJSON takes a number, a text or null.
func (d *DecimalOrNull) UnmarshalJSON(b []byte) error {
	var number Decimal
	if err := number.UnmarshalJSON(bytes.TrimSpace(b)); err != nil {
		return err
	}
	d.text = (*string)(&number)
	return nil
}

// Schema describes a number, a text or null.
func (DecimalOrNull) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{OneOf: []*huma.Schema{{Type: "number"}, {Type: "string", Nullable: true}}}
}
