package store

import (
	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
)

// UsageKeys counts the usage rows of each day, wire, mass and order. Rows are read one by one: there may be a million.
func (r *reader) UsageKeys() (map[stock.Usage]int, error) {
	rows, err := r.db.Raw("SELECT used_on, wire, mass, order_code, count(*) FROM usage GROUP BY used_on, wire, mass, order_code").Rows()
	if err != nil {
		return nil, translate(err)
	}
	defer rows.Close()
	keys := map[stock.Usage]int{}
	dates := map[string]calendar.Date{} // few days, many rows
	for rows.Next() {
		var on, wire, order string
		var mass int64
		var n int
		if err := rows.Scan(&on, &wire, &mass, &order, &n); err != nil {
			return nil, translate(err)
		}
		date, ok := dates[on]
		if !ok {
			if err := date.Scan(on); err != nil {
				return nil, err
			}
			dates[on] = date
		}
		keys[stock.Usage{On: date, Wire: material.WireCode(wire), Mass: measure.Mass(mass), Order: order}] = n
	}
	return keys, translate(rows.Err())
}

// AddUsage adds usage rows; workshop.ErrExists says that one is there already.
func (t *tx) AddUsage(rows []stock.Usage) error {
	return insert(t, "usage", "wire, used_on, mass, order_code, nth", rows, func(u stock.Usage) []any {
		return []any{u.Wire, day(u.On), u.Mass, u.Order, u.Nth}
	})
}
