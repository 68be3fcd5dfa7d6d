package store

import (
	"fmt"
	"slices"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/order"
	"windingroom/internal/workshop"
)

type orderRow struct {
	Code      order.Code
	OrderedOn calendar.Date
	DueOn     calendar.Date
	Customer  string
	Status    order.Status

	ShortReason string
	PromisedOn  calendar.Date
}

type lineRow struct {
	OrderCode order.Code
	Number    int
	SetCode   catalog.SetCode
	Quantity  int
}

type stringRow struct {
	OrderCode    order.Code
	Line         int
	order.String `gorm:"embedded"`
}

type lineKey struct {
	order order.Code
	line  int
}

const openOrders = "status IN ('confirmed', 'planned')"

// Order gives one order.
func (r *reader) Order(code order.Code) (order.Order, error) {
	orders, err := r.orders("lower(code) = lower(?)", code)
	switch {
	case err != nil:
		return order.Order{}, err
	case len(orders) == 0:
		return order.Order{}, named("order", code, workshop.ErrNotFound)
	}
	return orders[0], nil
}

// Orders gives the orders by due date and code.
func (r *reader) Orders(filter workshop.OrderFilter) ([]order.Order, error) {
	if filter.OpenOnly {
		return r.orders(openOrders)
	}
	if len(filter.Status) > 0 {
		return r.orders("status IN ?", filter.Status)
	}
	return r.orders("1 = 1")
}

// OrderCodes gives the codes of all orders.
func (r *reader) OrderCodes() ([]order.Code, error) {
	return list[order.Code](r, "SELECT code FROM orders ORDER BY code")
}

// orders reads the orders of a condition in three queries, whatever their number.
func (r *reader) orders(where string, args ...any) ([]order.Order, error) {
	rows, err := list[orderRow](r, "SELECT * FROM orders WHERE "+where+" ORDER BY due_on, code", args...)
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	theirs := " WHERE order_code IN (SELECT code FROM orders WHERE " + where + ") ORDER BY order_code, "
	lines, err := list[lineRow](r, "SELECT * FROM order_lines"+theirs+"number", args...)
	if err != nil {
		return nil, err
	}
	strings, err := list[stringRow](r, "SELECT * FROM order_strings"+theirs+"line, position", args...)
	if err != nil {
		return nil, err
	}
	return assembleOrders(rows, lines, strings), nil
}

func assembleOrders(rows []orderRow, lines []lineRow, strings []stringRow) []order.Order {
	ofLine := map[lineKey][]order.String{}
	for _, s := range strings {
		key := lineKey{s.OrderCode, s.Line}
		ofLine[key] = append(ofLine[key], s.String)
	}
	ofOrder := map[order.Code][]order.Line{}
	for _, l := range lines {
		ofOrder[l.OrderCode] = append(ofOrder[l.OrderCode], order.Line{Number: l.Number, Set: l.SetCode, Quantity: l.Quantity,
			Strings: ofLine[lineKey{l.OrderCode, l.Number}]})
	}
	orders := make([]order.Order, len(rows))
	for i, row := range rows {
		orders[i] = order.Order{Code: row.Code, OrderedOn: row.OrderedOn, DueOn: row.DueOn, Customer: row.Customer,
			Status: row.Status, Short: row.ShortReason, PromisedOn: row.PromisedOn, Lines: ofOrder[row.Code]}
	}
	return orders
}

// AddOrders adds orders with their lines and strings.
func (t *tx) AddOrders(orders []order.Order) error {
	if err := refuseTaken(t, "order", "orders", orders, func(o order.Order) order.Code { return o.Code }); err != nil {
		return err
	}
	var lines []lineRow
	var strings []stringRow
	for _, o := range orders {
		for _, l := range o.Lines {
			lines = append(lines, lineRow{o.Code, l.Number, l.Set, l.Quantity})
			for _, s := range l.Strings {
				strings = append(strings, stringRow{o.Code, l.Number, s})
			}
		}
	}
	err := insert(t, "orders", "code, ordered_on, due_on, customer, status", orders, func(o order.Order) []any {
		return []any{o.Code, day(o.OrderedOn), day(o.DueOn), o.Customer, o.Status}
	})
	if err != nil {
		return err
	}
	err = insert(t, "order_lines", "order_code, number, set_code, quantity", lines, func(l lineRow) []any {
		return []any{l.OrderCode, l.Number, orNull(l.SetCode), l.Quantity}
	})
	if err != nil {
		return err
	}
	return insert(t, "order_strings", "order_code, line, position, recipe, scale, pitch", strings, func(s stringRow) []any {
		return []any{s.OrderCode, s.Line, s.Position, s.Recipe, s.Scale, s.Pitch}
	})
}

// SetOrderStatus moves an order on; workshop.ErrChanged says that it no longer stood where the caller saw it.
func (t *tx) SetOrderStatus(code order.Code, from, to order.Status) error {
	n, err := t.exec("UPDATE orders SET status = ? WHERE lower(code) = lower(?) AND status = ?", to, code, from)
	if err != nil || n == 1 {
		return err
	}
	now, err := one[order.Status](&t.reader, "SELECT status FROM orders WHERE lower(code) = lower(?)", code)
	if err != nil {
		return named("order", code, err)
	}
	return fmt.Errorf("order %s is %s and no longer %s: %w", code, now, from, workshop.ErrChanged)
}

// SetPromised notes the day that an order is promised for; none takes it away.
func (t *tx) SetPromised(code order.Code, on calendar.Date) error {
	n, err := t.exec("UPDATE orders SET promised_on = ? WHERE lower(code) = lower(?)", day(on), code)
	if err == nil && n == 0 {
		err = workshop.ErrNotFound
	}
	return named("order", code, err)
}

// Covered gives, for each string of an open order, how many good ones exist and how many released batches will wind.
func (r *reader) Covered() ([]batch.Serve, error) {
	return r.covered("o." + openOrders)
}

// CoveredOf gives the same for one order.
func (r *reader) CoveredOf(code order.Code) ([]batch.Serve, error) {
	return r.covered("lower(o.code) = lower(?)", code)
}

// covered counts what a batch that is not finished serves whole, its good strings included, of a finished one the good strings
// alone, and what was given out of finished stock.
func (r *reader) covered(orders string, args ...any) ([]batch.Serve, error) {
	rows, err := list[serveRow](r, `
		SELECT order_code, line, position, sum(strings) AS strings FROM (
			SELECT s.order_code, s.line, s.position, s.strings
			FROM orders o
			JOIN batch_serves s ON s.order_code = o.code
			JOIN batches b ON b.code = s.batch
			WHERE `+orders+` AND b.status = 'released'
			UNION ALL
			SELECT s.order_code, s.line, s.position, 0
			FROM orders o
			JOIN batch_serves s ON s.order_code = o.code
			JOIN batches b ON b.code = s.batch
			WHERE `+orders+` AND b.status = 'finished'
			UNION ALL
			SELECT g.order_code, g.line, g.position, g.strings
			FROM orders o
			JOIN result_strings g ON g.order_code = o.code
			JOIN results t ON t.batch = g.batch AND t.number = g.number
			JOIN batches b ON b.code = g.batch
			WHERE `+orders+` AND b.status = 'finished' AND t.undone_at IS NULL
			UNION ALL
			SELECT g.order_code, g.line, g.position, g.strings
			FROM orders o
			JOIN finished_given g ON g.order_code = o.code
			WHERE `+orders+`) c
		GROUP BY order_code, line, position
		ORDER BY order_code, line, position`, slices.Concat(args, args, args, args)...)
	serves := make([]batch.Serve, len(rows))
	for i, row := range rows {
		serves[i] = row.serve()
	}
	return serves, err
}
