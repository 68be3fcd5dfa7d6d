package store

import (
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/planning"
	"windingroom/internal/stock"
)

type loadRow struct {
	Machine    catalog.MachineCode
	CoreWire   material.WireCode
	CoreSpool  stock.SpoolCode
	Wrap1Wire  material.WireCode `gorm:"column:wrap_1_wire"`
	Wrap1Spool stock.SpoolCode   `gorm:"column:wrap_1_spool"`
	Wrap2Wire  material.WireCode `gorm:"column:wrap_2_wire"`
	Wrap2Spool stock.SpoolCode   `gorm:"column:wrap_2_spool"`
	Wrap3Wire  material.WireCode `gorm:"column:wrap_3_wire"`
	Wrap3Spool stock.SpoolCode   `gorm:"column:wrap_3_spool"`
	Scale      measure.Size
}

func (r loadRow) loaded() planning.Loaded {
	return planning.Loaded{
		Core: planning.Place{Wire: r.CoreWire, Spool: r.CoreSpool},
		Wraps: [catalog.MaxWraps]planning.Place{
			{Wire: r.Wrap1Wire, Spool: r.Wrap1Spool}, {Wire: r.Wrap2Wire, Spool: r.Wrap2Spool}, {Wire: r.Wrap3Wire, Spool: r.Wrap3Spool},
		},
		Scale: r.Scale,
	}
}

func (r *reader) loads(query string, args ...any) ([]loadRow, error) {
	return list[loadRow](r, query, args...)
}

// Loaded gives what each machine had on it after the last day before date of which anything was released.
func (r *reader) Loaded(before calendar.Date) (map[catalog.MachineCode]planning.Loaded, error) {
	rows, err := r.loads(`
		SELECT l.* FROM machine_loads l
		JOIN (SELECT l.machine, max(l.date) AS date
			FROM machine_loads l JOIN plans p ON p.date = l.date
			WHERE p.released AND p.date < ? GROUP BY l.machine) last
			ON last.machine = l.machine AND last.date = l.date`, day(before))
	loaded := make(map[catalog.MachineCode]planning.Loaded, len(rows))
	for _, row := range rows {
		loaded[row.Machine] = row.loaded()
	}
	return loaded, err
}

func (t *tx) addLoads(date calendar.Date, machines []planning.MachineDay) error {
	const columns = "date, machine, core_wire, core_spool, wrap_1_wire, wrap_1_spool, wrap_2_wire, wrap_2_spool, wrap_3_wire, wrap_3_spool, scale"
	return insert(t, "machine_loads", columns, machines, func(m planning.MachineDay) []any {
		values := []any{day(date), m.Machine, orNull(m.After.Core.Wire), orNull(m.After.Core.Spool)}
		for _, w := range m.After.Wraps {
			values = append(values, orNull(w.Wire), orNull(w.Spool))
		}
		return append(values, m.After.Scale)
	})
}
