package store

import (
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

type wireRow struct {
	Code       material.WireCode
	Alloy      material.AlloyCode
	Section    material.Section
	Size       measure.Size
	Thickness  measure.Size
	Across     material.Across
	UsableEnd  measure.Mass
	Supplier   *string
	Pack       measure.Mass
	PricePerKg money.Minor
}

func (wireRow) TableName() string { return "wires" }

func (r wireRow) wire() material.Wire {
	w := material.Wire{
		Code: r.Code, Alloy: r.Alloy,
		Form:      material.Form{Section: r.Section, Size: r.Size, Thickness: r.Thickness, Across: r.Across},
		UsableEnd: r.UsableEnd, Pack: r.Pack, PricePerKg: r.PricePerKg,
	}
	if r.Supplier != nil {
		w.Supplier = *r.Supplier
	}
	return w
}

func rowOfWire(w material.Wire) wireRow {
	row := wireRow{
		Code: w.Code, Alloy: w.Alloy,
		Section: w.Form.Section, Size: w.Form.Size, Thickness: w.Form.Thickness, Across: w.Form.Across,
		UsableEnd: w.UsableEnd, Pack: w.Pack, PricePerKg: w.PricePerKg,
	}
	if w.Supplier != "" {
		row.Supplier = &w.Supplier
	}
	return row
}

// Wires gives the stocked wires.
func (r *reader) Wires() ([]material.Wire, error) {
	rows, err := list[wireRow](r, "SELECT * FROM wires ORDER BY code")
	wires := make([]material.Wire, len(rows))
	for i, row := range rows {
		wires[i] = row.wire()
	}
	return wires, err
}

// SaveWires adds wires or replaces those of the same codes.
func (t *tx) SaveWires(wires []material.Wire) error {
	rows := make([]wireRow, len(wires))
	for i, w := range wires {
		rows[i] = rowOfWire(w)
	}
	return upsert(t, rows, "alloy", "section", "size", "thickness", "across", "usable_end", "supplier", "pack", "price_per_kg")
}
