package promise

import (
	"fmt"
	"strings"

	"windingroom/internal/order"
)

// Why says what decides, in a sentence for the order desk.
func (a Answer) Why() string {
	r := a.Decides
	switch r.What {
	case Nothing:
		return "nothing stands in the way: it is wound as soon as the machines can take it"
	case ByTime:
		return fmt.Sprintf("machine time decides: %s has no room for all of it before", machine(r))
	case Arrival:
		return fmt.Sprintf("a receipt decides: %s of %s is counted on from %s, stated for %s", r.Receipt.Purchase, r.Wire, r.Receipt.On, r.Receipt.Stated)
	case ByOrders:
		if len(r.Orders) == 0 {
			return r.Detail
		}
		return "orders taken on before decide: " + some(r.Orders) + " would be late otherwise"
	case NoWay:
		return "it cannot be made: " + r.Detail
	}
	if r.Wire == "" {
		return "wire decides: " + r.Detail
	}
	text := fmt.Sprintf("wire decides: %s g more of %s are needed than there are and are on their way", r.Short.GramText(), r.Wire)
	if len(r.Orders) > 0 {
		text += ", or " + some(r.Orders) + " would lack them"
	}
	return text
}

func machine(r Reason) string {
	if r.Machine == "" {
		return "no machine"
	}
	return string(r.Machine)
}

// some names the first few orders.
func some(orders []order.Code) string {
	const few = 3
	var names []string
	for _, o := range orders[:min(few, len(orders))] {
		names = append(names, string(o))
	}
	if n := len(orders) - few; n > 0 {
		return fmt.Sprintf("%s and %d more", strings.Join(names, ", "), n)
	}
	return strings.Join(names, ", ")
}

// String says what might be done, and for what day.
func (u Unlock) String() string {
	switch u.How {
	case Overtime:
		return fmt.Sprintf("%s with %d minutes of overtime a day on %s", u.On, u.Minutes, u.Machine)
	case EarlierWire:
		return fmt.Sprintf("%s with %s of %s on the shelf %d days earlier", u.On, u.Receipt.Purchase, u.Receipt.Wire, u.Days)
	case Arrives:
		return fmt.Sprintf("%s if %s of %s, overdue since %s, comes on the next working day", u.On, u.Receipt.Purchase, u.Receipt.Wire, u.Receipt.Stated)
	}
	var buys []string
	for _, b := range u.Buys {
		buys = append(buys, fmt.Sprintf("%s g of %s (%d days to the shelf)", b.Mass.GramText(), b.Wire, b.Days))
	}
	return fmt.Sprintf("%s if bought today: %s", u.On, strings.Join(buys, ", "))
}
