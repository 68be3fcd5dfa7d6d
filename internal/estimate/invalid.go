package estimate

import (
	"windingroom/internal/fields"
	"windingroom/internal/material"
)

// FieldError names a field by its JSON path ("layers[0].lay_thou") and says what would be right.
type FieldError = material.FieldError

// Invalid lists every field of a build that cannot be right, each once.
type Invalid = fields.Invalid
