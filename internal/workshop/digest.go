package workshop

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"windingroom/internal/replenishment"
)

// Alerts gives the wires that ask something of the owner, the most urgent first.
func (n NightReport) Alerts() []replenishment.WireNight {
	var alerts []replenishment.WireNight
	for _, w := range n.Wires {
		if w.Alert != replenishment.None {
			alerts = append(alerts, w)
		}
	}
	slices.SortStableFunc(alerts, func(a, b replenishment.WireNight) int {
		return cmp.Or(cmp.Compare(b.Alert.Rank(), a.Alert.Rank()), cmp.Compare(a.OrderBy, b.OrderBy), cmp.Compare(a.Wire, b.Wire))
	})
	return alerts
}

// Unanswered gives those of Alerts that nobody has seen or let rest.
func (n NightReport) Unanswered() []replenishment.WireNight {
	return slices.DeleteFunc(n.Alerts(), func(w replenishment.WireNight) bool {
		_, answered := n.Answers[w.Wire]
		return answered
	})
}

// Headline says in one line what a night found.
func (n NightReport) Headline() string {
	return fmt.Sprintf("night of %s: %s; %s at risk", n.Date, nightDetail(n.Night), Count(len(replenishment.OrdersAtRisk(n.Wires)), "order", "orders"))
}

// Sum says what a purchase of the night costs.
func (n NightReport) Sum(p replenishment.Purchase) string {
	text := fmt.Sprintf("%s %s", n.Currency.Text(p.Total), n.Currency)
	if p.Freight > 0 {
		text += fmt.Sprintf(", %s of it freight", n.Currency.Text(p.Freight))
	}
	return text
}

// Count says a number of things.
func Count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// Digest is the short list of a night as plain text: what to order, then the alerts that nobody has answered.
func (n NightReport) Digest() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", n.Headline())
	for _, p := range n.Purchases {
		fmt.Fprintf(&b, "\nFrom %s, %s: %s\n", p.Supplier, replenishment.Due(p.OrderBy, n.Date), n.Sum(p))
		for _, l := range p.Lines {
			fmt.Fprintf(&b, "  %s: %s, %s kg, %s %s (%s)\n", l.Wire, Count(l.Packs, "pack", "packs"), l.Mass.KilogramText(), n.Currency.Text(l.Cost), n.Currency, l.Reason())
		}
		if p.Note != "" {
			fmt.Fprintf(&b, "  %s\n", p.Note)
		}
	}
	if alerts := n.Unanswered(); len(alerts) > 0 {
		b.WriteString("\nAlerts:\n")
		for _, w := range alerts {
			fmt.Fprintf(&b, "  %s %s: %s\n", w.Wire, w.Alert, w.Why)
			if w.Changed != "" {
				fmt.Fprintf(&b, "    since the night before: %s\n", w.Changed)
			}
		}
	}
	if risk := replenishment.OrdersAtRisk(n.Wires); len(risk) > 0 {
		b.WriteString("\nOrders at risk:\n")
		for _, o := range risk {
			fmt.Fprintf(&b, "  %s for want of %s\n", o.Order, joined(o.Wires))
		}
	}
	return b.String()
}

func joined[T ~string](codes []T) string {
	texts := make([]string, len(codes))
	for i, c := range codes {
		texts[i] = string(c)
	}
	return strings.Join(texts, ", ")
}
