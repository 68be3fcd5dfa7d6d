package page

import (
	"regexp"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
	"windingroom/internal/units"
)

// What sentences that were kept, or that the trade packages word, hold of quantities: masses with their unit and days as YYYY-MM-DD, which
// is how all of them write these and nothing else.
var (
	massInText = regexp.MustCompile(`\b(\d+(?:\.\d+)?) (k?g)\b`)
	dayInText  = regexp.MustCompile(`\b\d{4}-\d{2}-\d{2}\b`)
)

// Reworded gives a kept sentence with its masses and days as the shop reads them. The sentence itself stays as it was kept, so that nights
// and histories of the past are read in the same way as new ones; what is no quantity stays as it stands.
func Reworded(u units.Units, text string) string {
	text = massInText.ReplaceAllStringFunc(text, func(found string) string {
		part := massInText.FindStringSubmatch(found)
		parse, write := measure.ParseGrams, u.Mass
		if part[2] == "kg" {
			parse, write = measure.ParseKilograms, u.Bulk
		}
		m, err := parse(part[1])
		if err != nil {
			return found
		}
		return write(m).String()
	})
	return dayInText.ReplaceAllStringFunc(text, func(found string) string {
		d, err := calendar.ParseDate(found)
		if err != nil {
			return found
		}
		return u.Date(d)
	})
}
