package store

import (
	"slices"

	"windingroom/internal/calendar"
	"windingroom/internal/order"
)

// SaveOrder puts an order in the place of the one of its code.
func (t *tx) SaveOrder(o order.Order) error {
	before, err := t.Order(o.Code)
	if err != nil {
		return err
	}
	o.Code = before.Code
	if err := t.dropProposals(before, o); err != nil {
		return err
	}
	_, err = t.exec("UPDATE orders SET ordered_on = ?, due_on = ?, customer = ? WHERE code = ?", day(o.OrderedOn), day(o.DueOn), o.Customer, o.Code)
	if err != nil {
		return named("order", o.Code, err)
	}
	for _, l := range o.Lines {
		_, err := t.exec(`INSERT INTO order_lines (order_code, number, set_code, quantity) VALUES (?, ?, ?, ?)
			ON CONFLICT (order_code, number) DO UPDATE SET set_code = excluded.set_code, quantity = excluded.quantity`,
			o.Code, l.Number, orNull(l.Set), l.Quantity)
		if err != nil {
			return named("order", o.Code, err)
		}
		for _, s := range l.Strings {
			_, err := t.exec(`INSERT INTO order_strings (order_code, line, position, recipe, scale, pitch) VALUES (?, ?, ?, ?, ?, ?)
				ON CONFLICT (order_code, line, position) DO UPDATE
				SET recipe = excluded.recipe, scale = excluded.scale, pitch = excluded.pitch`,
				o.Code, l.Number, s.Position, s.Recipe, s.Scale, s.Pitch)
			if err != nil {
				return named("order", o.Code, err)
			}
		}
	}
	return t.dropStrings(before, o)
}

// dropStrings removes the strings and lines that an order no longer has, and what released plans say of having left them out.
func (t *tx) dropStrings(before, after order.Order) error {
	for _, l := range before.Lines {
		for _, s := range l.Strings {
			if _, ok := after.String(l.Number, s.Position); ok {
				continue
			}
			for _, statement := range []string{
				"DELETE FROM plan_unplanned WHERE order_code = ? AND line = ? AND position = ?",
				"DELETE FROM order_strings WHERE order_code = ? AND line = ? AND position = ?",
			} {
				if _, err := t.exec(statement, after.Code, l.Number, s.Position); err != nil {
					return named("order", after.Code, err)
				}
			}
		}
		if !slices.ContainsFunc(after.Lines, func(a order.Line) bool { return a.Number == l.Number }) {
			if _, err := t.exec("DELETE FROM order_lines WHERE order_code = ? AND number = ?", after.Code, l.Number); err != nil {
				return named("order", after.Code, err)
			}
		}
	}
	return nil
}

// dropProposals removes what is proposed for the days on which a batch, not released yet, winds for a string that the order no
// longer has or has otherwise.
func (t *tx) dropProposals(before, after order.Order) error {
	var dates []calendar.Date
	for _, l := range before.Lines {
		for _, s := range l.Strings {
			if now, ok := after.String(l.Number, s.Position); ok && now.Recipe == s.Recipe && now.Scale == s.Scale {
				continue
			}
			found, err := list[calendar.Date](&t.reader, `SELECT DISTINCT b.date FROM batch_serves v JOIN batches b ON b.code = v.batch
				WHERE b.status = 'proposed' AND v.order_code = ? AND v.line = ? AND v.position = ?`, before.Code, l.Number, s.Position)
			if err != nil {
				return err
			}
			dates = append(dates, found...)
		}
	}
	slices.Sort(dates)
	for _, date := range slices.Compact(dates) {
		if err := t.dropPlan(date); err != nil {
			return named("plan", date.String(), err)
		}
	}
	return nil
}

// dropPlan removes what is proposed for a day, and the plan with it where nothing of it is released.
func (t *tx) dropPlan(date calendar.Date) error {
	if err := t.dropProposed(date); err != nil {
		return err
	}
	standing, err := one[int](&t.reader, "SELECT count(*) FROM batches WHERE date = ?", day(date))
	if err != nil || standing > 0 {
		return err
	}
	if err := t.forget(date); err != nil {
		return err
	}
	_, err = t.exec("DELETE FROM plans WHERE date = ?", day(date))
	return err
}

// SetShort notes why an order was packed or shipped with strings missing.
func (t *tx) SetShort(code order.Code, reason string) error {
	_, err := t.exec("UPDATE orders SET short_reason = ? WHERE lower(code) = lower(?)", reason, code)
	return named("order", code, err)
}
