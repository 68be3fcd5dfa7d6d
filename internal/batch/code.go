package batch

import (
	"fmt"
	"strconv"
	"strings"

	"windingroom/internal/calendar"
)

// CodeOf names the batch of a number on a day, such as B260302-07, with at least so many digits.
func CodeOf(date calendar.Date, number, digits int) Code {
	return Code(fmt.Sprintf("%s%0*d", prefixOf(date), digits, number))
}

// NumberOn gives the number of a batch on a day and its digits; zero where the code is not of that day.
func (c Code) NumberOn(date calendar.Date) (number, digits int) {
	text, ours := strings.CutPrefix(string(c), prefixOf(date))
	if n, err := strconv.ParseUint(text, 10, 31); ours && err == nil {
		return int(n), len(text)
	}
	return 0, 0
}

func prefixOf(date calendar.Date) string { return "B" + date.Time().Format("060102") + "-" }
