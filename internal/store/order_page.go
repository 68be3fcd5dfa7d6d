package store

import (
	"strings"

	"windingroom/internal/order"
	"windingroom/internal/workshop"
)

// sorts are the columns behind the ways to sort orders.
var sorts = map[workshop.OrderSort]string{
	workshop.ByDue: "due_on", workshop.ByCode: "code", workshop.ByCustomer: "lower(customer)",
	workshop.ByStatus: `CASE status WHEN 'draft' THEN 0 WHEN 'confirmed' THEN 1 WHEN 'planned' THEN 2 WHEN 'wound' THEN 3
		WHEN 'packed' THEN 4 WHEN 'shipped' THEN 5 ELSE 6 END`,
}

// OrderPage gives one page of the orders that a query asks for, and how many it asks for.
func (r *reader) OrderPage(q workshop.OrderQuery) ([]order.Order, int, error) {
	where, args := wanted(q)
	found, err := one[int](r, "SELECT count(*) FROM orders WHERE "+where, args...)
	if err != nil || found == 0 {
		return nil, 0, err
	}
	by, turn := sorts[q.Sort], ""
	if by == "" {
		by = sorts[workshop.ByDue]
	}
	if q.Down {
		turn = " DESC"
	}
	first := (min(max(q.Page, 1), (found+q.Size-1)/q.Size) - 1) * q.Size
	codes, err := list[order.Code](r, "SELECT code FROM orders WHERE "+where+" ORDER BY "+by+turn+", code"+turn+" LIMIT ? OFFSET ?", append(args, q.Size, first)...)
	if err != nil {
		return nil, 0, err
	}
	orders, err := r.orders("code IN ?", codes)
	if err != nil {
		return nil, 0, err
	}
	of := map[order.Code]order.Order{}
	for _, o := range orders {
		of[o.Code] = o
	}
	sorted := make([]order.Order, len(codes))
	for i, code := range codes {
		sorted[i] = of[code]
	}
	return sorted, found, nil
}

// wanted is the condition of a query.
func wanted(q workshop.OrderQuery) (string, []any) {
	where, args := "1 = 1", []any(nil)
	and := func(condition string, values ...any) {
		where += " AND " + condition
		args = append(args, values...)
	}
	if q.Status != "" {
		and("status = ?", q.Status)
	}
	if q.Customer != "" {
		and("customer = ?", q.Customer)
	}
	if !q.DueFrom.IsZero() {
		and("due_on >= ?", day(q.DueFrom))
	}
	if !q.DueTo.IsZero() {
		and("due_on <= ?", day(q.DueTo))
	}
	for _, word := range q.Words {
		and(`lower(code || ' ' || customer || ' ' || status) LIKE lower(?) ESCAPE '\'`, "%"+likeText.Replace(word)+"%")
	}
	return where, args
}

// likeText takes their meaning from the signs of LIKE.
var likeText = strings.NewReplacer(`\`, `\\`, "%", `\%`, "_", `\_`)

// OrderCount counts all orders.
func (r *reader) OrderCount() (int, error) { return one[int](r, "SELECT count(*) FROM orders") }

// Customers gives the customers of all orders by name, at most so many.
func (r *reader) Customers(most int) ([]string, error) {
	return list[string](r, "SELECT customer FROM (SELECT DISTINCT customer FROM orders) c ORDER BY lower(customer), customer LIMIT ?", most)
}
