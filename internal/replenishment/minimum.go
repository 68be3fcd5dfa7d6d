package replenishment

import (
	"fmt"
	"strings"

	"windingroom/internal/calendar"
	"windingroom/internal/money"
	"windingroom/internal/order"
)

// belowMinimum says why a purchase stays below what its supplier takes orders for, and what paying up or waiting means. most is what all of the
// supplier's wire that there is room for would come to.
func (b *buyer) belowMinimum(goods, most money.Minor) string {
	s, short := b.checks[0].supplier, b.checks[0].supplier.OrderMinimum-goods
	text := fmt.Sprintf("%s is %s below the %s that %s takes orders for", b.amount(goods), b.amount(short), b.amount(s.OrderMinimum), s.Code)
	missing, days := b.unpriced(), plural(b.checks[0].policy.CoverDays, "day", "days")
	switch {
	case missing != "":
		text += fmt.Sprintf(": no price is known of %s, so it counts as nothing", missing)
	case most > goods:
		text += fmt.Sprintf("; all of its wire that would be used up in %s makes %s", days, b.amount(most))
	default:
		text += fmt.Sprintf(", and no pack more of its wire would be used up in %s", days)
	}
	text += ". "
	if missing == "" {
		text += fmt.Sprintf("To order all the same may cost up to %s more; ask %s. ", b.amount(short), s.Code)
	}
	return text + "To wait means that " + b.waiting() + "."
}

// unpriced names the wires in the purchase that have no price.
func (b *buyer) unpriced() string {
	var wires []string
	for i, c := range b.checks {
		if b.packs[i] > 0 && c.wire.PricePerKg <= 0 {
			wires = append(wires, string(c.wire.Code))
		}
	}
	return strings.Join(wires, ", ")
}

func (b *buyer) amount(m money.Minor) string {
	return strings.TrimSpace(b.currency.Text(m) + " " + string(b.currency))
}

// waiting says what comes of not ordering now.
func (b *buyer) waiting() string {
	var first *check
	var on calendar.Date
	risk := map[order.Code]bool{}
	for _, c := range b.checks {
		if c.short <= 0 {
			continue
		}
		for _, code := range c.night.AtRisk {
			risk[code] = true
		}
		if out := c.night.RunOutSoon; !out.IsZero() && (on.IsZero() || out < on) {
			first, on = c, out
		}
	}
	text := "less is kept than is wanted, though nothing is expected to run out within a year"
	if first != nil {
		text = fmt.Sprintf("%s may run out from %s on", first.wire.Code, max(on, first.today))
	}
	if len(risk) > 0 {
		text += fmt.Sprintf(", with %s at risk", plural(len(risk), "order", "orders"))
	}
	return text
}
