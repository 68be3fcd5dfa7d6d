package estimate

import (
	"fmt"
	"strings"

	"windingroom/internal/material"
	"windingroom/internal/measure"
)

// form turns a wire of the build into a form, listing sizes that are no sizes.
func (w Wire) form(path string, problems *Invalid) material.Form {
	size := func(field string, thou float64) measure.Size {
		s, err := measure.SizeFromThou(thou)
		if err != nil {
			problems.Add(path+"."+field, "must be a size in thousandths of an inch: "+err.Error())
		}
		return s
	}
	return material.Form{
		Section:   material.Section(lower(w.Section)),
		Size:      size("size_thou", w.SizeThou),
		Thickness: size("thickness_thou", w.ThicknessThou),
		Across:    material.Across(lower(w.Across)),
	}
}

func lower(text string) string { return strings.ToLower(strings.TrimSpace(text)) }

// layerPath names a layer as JSON paths do.
func layerPath(i int) string { return fmt.Sprintf("layers[%d]", i) }
