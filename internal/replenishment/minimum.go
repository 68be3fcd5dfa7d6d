package replenishment

import (
	"fmt"
	"strings"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/money"
	"windingroom/internal/order"
)

// belowMinimum says why a purchase stays below what its supplier takes orders for, and what paying up or waiting means.
func (b *buyer) belowMinimum(goods money.Minor) string {
	s, short := b.checks[0].supplier, b.checks[0].supplier.OrderMinimum-goods
	text := fmt.Sprintf("%s is %s below the %s that %s takes orders for, and %s", b.amount(goods), b.amount(short), b.amount(s.OrderMinimum), s.Code, b.nothingToAdd())
	return text + fmt.Sprintf(". To order all the same may cost %s more; ask %s. To wait means that %s.", b.amount(short), s.Code, b.waiting())
}

func (b *buyer) amount(m money.Minor) string {
	return strings.TrimSpace(b.currency.Text(m) + " " + string(b.currency))
}

func (b *buyer) nothingToAdd() string {
	var unpriced []material.WireCode
	for i, c := range b.checks {
		if b.packs[i] > 0 && c.wire.PricePerKg <= 0 {
			unpriced = append(unpriced, c.wire.Code)
		}
	}
	text := fmt.Sprintf("no pack more of its wires would be used up in %s", plural(b.checks[0].policy.CoverDays, "day", "days"))
	switch len(unpriced) {
	case 0:
		return text
	case 1:
		return text + fmt.Sprintf(" (%s has no price and counts as nothing)", unpriced[0])
	}
	return text + fmt.Sprintf(" (%d wires have no price and count as nothing, first %s)", len(unpriced), unpriced[0])
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
