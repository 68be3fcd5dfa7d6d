package planning

import (
	"fmt"
	"time"

	"windingroom/internal/planning/sequencing"
)

// Shift is a time in which a machine is worked, after the start of the day. Between two shifts is a break; a batch goes on
// after it.
type Shift struct{ From, Till time.Duration }

// addHours gives a machine its regular time, its limit with the overtime that is allowed, and its calendar.
func (s *shop) addHours(m Machine, overtime time.Duration) error {
	regular := max(0, int64(m.PerDay))
	var shifts []sequencing.Shift
	if len(m.Shifts) > 0 {
		regular = 0
	}
	var end time.Duration
	for _, sh := range m.Shifts {
		if sh.From < end || sh.Till <= sh.From {
			return fmt.Errorf("machine %s: shift from %s till %s: it must end after it begins, and begin after the one before it", m.Code, sh.From, sh.Till)
		}
		end = sh.Till
		regular += int64(sh.Till - sh.From)
		shifts = append(shifts, sequencing.Shift{From: int64(sh.From), Till: int64(sh.Till)})
	}
	extra := max(0, int64(overtime))
	if m.Down {
		regular, extra = 0, 0
	}
	s.regular = append(s.regular, regular)
	s.capacity = append(s.capacity, regular+extra)
	s.shifts = append(s.shifts, shifts)
	return nil
}

// wall gives when a machine has done so much work.
func (s *shop) wall(machine int, work int64) int64 {
	return s.clock(machine, work, func(work, long int64) bool { return work <= long })
}

// begins gives when a machine goes on after so much work: after a break, if one begins then.
func (s *shop) begins(machine int, work int64) int64 {
	return s.clock(machine, work, func(work, long int64) bool { return work < long })
}

func (s *shop) clock(machine int, work int64, within func(work, long int64) bool) int64 {
	shifts := s.shifts[machine]
	if len(shifts) == 0 {
		return work
	}
	for _, sh := range shifts {
		if within(work, sh.Till-sh.From) {
			return sh.From + work
		}
		work -= sh.Till - sh.From
	}
	return shifts[len(shifts)-1].Till + work
}
