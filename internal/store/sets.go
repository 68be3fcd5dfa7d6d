package store

import "windingroom/internal/catalog"

type setRow struct {
	Code    catalog.SetCode
	Retired bool
}

func (setRow) TableName() string { return "sets" }

type positionRow struct {
	SetCode          catalog.SetCode
	catalog.Position `gorm:"embedded"`
}

// Sets gives the standing sets with their positions; retired ones stay for the orders that have them.
func (r *reader) Sets() ([]catalog.Set, error) {
	rows, err := list[setRow](r, "SELECT * FROM sets WHERE NOT retired ORDER BY code")
	if err != nil {
		return nil, err
	}
	positions, err := list[positionRow](r, "SELECT p.* FROM set_positions p JOIN sets s ON s.code = p.set_code WHERE NOT s.retired ORDER BY p.set_code, p.number")
	if err != nil {
		return nil, err
	}
	sets := make([]catalog.Set, len(rows))
	for i, row := range rows {
		sets[i].Code = row.Code
		for len(positions) > 0 && positions[0].SetCode == row.Code {
			sets[i].Positions = append(sets[i].Positions, positions[0].Position)
			positions = positions[1:]
		}
	}
	return sets, nil
}

// SaveSets adds sets or replaces those of the same codes, positions and all.
func (t *tx) SaveSets(sets []catalog.Set) error {
	rows := make([]setRow, len(sets))
	for i, s := range sets {
		rows[i] = setRow{Code: s.Code}
	}
	if err := upsert(t, rows, "retired"); err != nil {
		return err
	}
	as, err := kept(t, "sets", sets, func(s catalog.Set) catalog.SetCode { return s.Code })
	if err != nil {
		return err
	}
	var positions []positionRow
	for _, s := range sets {
		code := as[s.Code]
		if _, err := t.exec("DELETE FROM set_positions WHERE set_code = ?", code); err != nil {
			return err
		}
		for _, p := range s.Positions {
			positions = append(positions, positionRow{code, p})
		}
	}
	return insert(t, "set_positions", "set_code, number, recipe, scale, pitch", positions, func(p positionRow) []any {
		return []any{p.SetCode, p.Number, p.Recipe, p.Scale, p.Pitch}
	})
}

// RetireSet keeps the row, to which order lines refer, and lists it no longer.
func (t *tx) RetireSet(code catalog.SetCode) error {
	_, err := t.exec("UPDATE sets SET retired = ? WHERE code = ?", true, code)
	return err
}
