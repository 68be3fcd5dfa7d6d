package today

import (
	"fmt"
	"strings"

	"windingroom/internal/order"
	"windingroom/internal/planning"
)

// leftOver is strings of one order line that did not get into the day for one reason.
type leftOver struct {
	Order     order.Code
	Line      int
	Positions string // "1 to 4, 6"
	Strings   int
	Why       string
	Detail    string
}

// why says in the winding room's words what keeps strings out of a day.
var why = map[planning.Why]string{
	planning.ForWire:    "not enough wire",
	planning.ForTime:    "no time left",
	planning.ForMachine: "no machine takes it",
}

// leftOvers gathers neighbouring positions that one reason keeps out, and counts the strings.
func leftOvers(list []planning.NotPlanned) (all []leftOver, strings int) {
	for i := 0; i < len(list); {
		first := list[i]
		l := leftOver{Order: first.Order, Line: first.Line, Why: why[first.Why], Detail: first.Detail}
		var positions []int
		for ; i < len(list) && sameReason(list[i], first); i++ {
			positions = append(positions, list[i].Position)
			l.Strings += list[i].Strings
		}
		l.Positions = runs(positions)
		strings += l.Strings
		all = append(all, l)
	}
	return all, strings
}

func sameReason(a, b planning.NotPlanned) bool {
	return a.Order == b.Order && a.Line == b.Line && a.Why == b.Why && a.Detail == b.Detail
}

// runs prints numbers in their order with neighbours drawn together: "1 to 4, 6".
func runs(numbers []int) string {
	var parts []string
	for i := 0; i < len(numbers); {
		j := i
		for j+1 < len(numbers) && numbers[j+1] == numbers[j]+1 {
			j++
		}
		switch j - i {
		case 0:
			parts = append(parts, fmt.Sprint(numbers[i]))
		case 1:
			parts = append(parts, fmt.Sprint(numbers[i]), fmt.Sprint(numbers[j]))
		default:
			parts = append(parts, fmt.Sprintf("%d to %d", numbers[i], numbers[j]))
		}
		i = j + 1
	}
	return strings.Join(parts, ", ")
}
