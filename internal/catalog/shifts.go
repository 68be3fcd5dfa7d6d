package catalog

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Shifts are the times in which a machine is worked each working day, as text: "0:00-4:00;4:30-8:30", hours and minutes after
// the start of the day, which is the zero of a plan's times. Between two shifts is a break. Empty: from the start of the day
// for the machine's minutes.
type Shifts string

// Shift is one of them, after the start of the day.
type Shift struct{ From, Till time.Duration }

// ParseShifts reads shifts as people write them, spaces and leading zeros aside. Each must end after it begins and begin no
// earlier than the one before it ends; all lie within 24 hours.
func ParseShifts(text string) (Shifts, error) {
	var parts []string
	var end time.Duration
	for part := range strings.SplitSeq(text, ";") {
		if strings.TrimSpace(part) == "" {
			continue
		}
		s, err := parseShift(part)
		switch {
		case err != nil:
			return "", err
		case s.Till <= s.From:
			return "", fmt.Errorf("shift %q must end after it begins", strings.TrimSpace(part))
		case s.From < end:
			return "", fmt.Errorf("shift %q begins before the one before it ends", strings.TrimSpace(part))
		case s.Till > 24*time.Hour:
			return "", fmt.Errorf("shift %q ends after 24:00", strings.TrimSpace(part))
		}
		end = s.Till
		parts = append(parts, shiftTime(s.From)+"-"+shiftTime(s.Till))
	}
	return Shifts(strings.Join(parts, ";")), nil
}

func parseShift(text string) (Shift, error) {
	from, till, ok := strings.Cut(text, "-")
	if ok {
		f, okFrom := parseShiftTime(from)
		t, okTill := parseShiftTime(till)
		if okFrom && okTill {
			return Shift{f, t}, nil
		}
	}
	return Shift{}, fmt.Errorf("%q is not a shift such as 0:00-4:00, hours and minutes after the start of the day", strings.TrimSpace(text))
}

func parseShiftTime(text string) (time.Duration, bool) {
	hours, minutes, ok := strings.Cut(strings.TrimSpace(text), ":")
	if !ok || len(hours) < 1 || len(hours) > 2 || len(minutes) != 2 {
		return 0, false
	}
	h, errHours := strconv.ParseUint(hours, 10, 8)
	m, errMinutes := strconv.ParseUint(minutes, 10, 8)
	if errHours != nil || errMinutes != nil || m > 59 {
		return 0, false
	}
	return time.Duration(h)*time.Hour + time.Duration(m)*time.Minute, true
}

func shiftTime(d time.Duration) string {
	return fmt.Sprintf("%d:%02d", d/time.Hour, d%time.Hour/time.Minute)
}

// List gives the shifts in order; text that is none gives none.
func (s Shifts) List() []Shift {
	if s == "" {
		return nil
	}
	var list []Shift
	for part := range strings.SplitSeq(string(s), ";") {
		shift, err := parseShift(part)
		if err != nil {
			return nil
		}
		list = append(list, shift)
	}
	return list
}

// Length gives the working time of all shifts.
func (s Shifts) Length() time.Duration {
	var sum time.Duration
	for _, shift := range s.List() {
		sum += shift.Till - shift.From
	}
	return sum
}
