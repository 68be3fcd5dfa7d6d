package intake

import (
	"time"

	"windingroom/internal/catalog"
	"windingroom/internal/measure"
)

type machineRow struct {
	at
	machine catalog.Machine
}

func (f *Folder) takeMachine(r *row) {
	m := catalog.Machine{
		Code:    catalog.MachineCode(r.code("machine")),
		Winds:   catalog.Winds(r.oneOf("winds", string(catalog.WindsPlain), string(catalog.WindsWound), string(catalog.WindsBoth))),
		Longest: r.millimetres("longest_mm", 1, 100_000*measure.Millimetre, "more than 0 and at most 100000"),
		PerDay:  r.minutes("minutes_per_day", time.Minute, 24*time.Hour, "from 1 to 1440"),
	}
	m.Shifts = r.shifts("shifts", m.PerDay)
	f.machines = append(f.machines, machineRow{r.at(), m})
}

// shifts reads when a machine is worked, which must add up to its minutes.
func (r *row) shifts(column string, perDay time.Duration) catalog.Shifts {
	text, ok := r.given(column)
	if !ok {
		return ""
	}
	s, err := catalog.ParseShifts(text)
	switch {
	case err != nil:
		r.fail(column, "%v", err)
	case perDay > 0 && s.Length() != perDay:
		r.fail(column, "add up to %g minutes where minutes_per_day says %g", s.Length().Minutes(), perDay.Minutes())
	}
	return s
}

func (r *resolution) takeMachines() {
	machines := newShelf("machine", machinesFile, r.known.Machines, func(m catalog.Machine) string { return string(m.Code) })
	for _, row := range r.folder.machines {
		m := row.machine
		if m.Code == "" {
			continue
		}
		it, first := claim(r, &machines, row.at, "machine", string(m.Code))
		if !first {
			continue
		}
		m.Code = catalog.MachineCode(it.code)
		same := m == it.value
		machines.put(it, m, !row.bad)
		if !row.bad && r.count(machinesFile, it.known, same) {
			r.facts.Machines = append(r.facts.Machines, m)
		}
	}
}
