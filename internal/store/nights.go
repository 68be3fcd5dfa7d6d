package store

import (
	"encoding/json"
	"fmt"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/replenishment"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

// Used gives earlier consumption and draws. Rows are read one by one: there may be a million.
func (r *reader) Used(first, last calendar.Date) ([]stock.Usage, error) {
	rows, err := r.db.Raw(`SELECT used_on, wire, mass, order_code FROM usage WHERE used_on BETWEEN ? AND ?
		UNION ALL
		SELECT * FROM (SELECT coalesce(o.effective_on, m.effective_on) AS used_on, s.wire, CAST(sum(-m.mass) AS BIGINT) AS mass,
				coalesce(o.source, m.source) AS order_code
			FROM movements m JOIN spools s ON s.code = m.spool LEFT JOIN movements o ON o.id = m.reverses
			WHERE coalesce(o.kind, m.kind) IN ('draw', 'scrap') AND coalesce(o.effective_on, m.effective_on) BETWEEN ? AND ?
			GROUP BY s.wire, coalesce(o.effective_on, m.effective_on), coalesce(o.source, m.source)) drawn WHERE mass > 0
		ORDER BY 1, 2, 3, 4`, day(first), day(last), day(first), day(last)).Rows()
	if err != nil {
		return nil, translate(err)
	}
	defer rows.Close()
	var used []stock.Usage
	dates := map[string]calendar.Date{} // few days, many rows
	for rows.Next() {
		var on string
		var u stock.Usage
		if err := rows.Scan(&on, &u.Wire, &u.Mass, &u.Order); err != nil {
			return nil, translate(err)
		}
		date, ok := dates[on]
		if !ok {
			if err := date.Scan(on); err != nil {
				return nil, err
			}
			dates[on] = date
		}
		u.On = date
		used = append(used, u)
	}
	return used, translate(rows.Err())
}

// Changes gives by how much the stock of each wire changed on each day.
func (r *reader) Changes() ([]workshop.WireChange, error) {
	return list[workshop.WireChange](r, `SELECT s.wire, m.effective_on AS "on", CAST(sum(m.mass) AS BIGINT) AS mass
		FROM movements m JOIN spools s ON s.code = m.spool GROUP BY s.wire, m.effective_on ORDER BY s.wire, m.effective_on`)
}

// Bookings gives how long before it was wound each line of an order was booked, with the wire of its strings, those included that it was
// given of what was wound for others. What was wound before it was booked had no notice.
func (r *reader) Bookings(since calendar.Date) ([]replenishment.Notice, error) {
	type row struct {
		OrderedOn, WoundOn calendar.Date
		Mass               float64
	}
	rows, err := list[row](r, `
		WITH owned AS (
			SELECT g.batch, g.number, g.order_code, g.line, `+stillHere+` AS strings FROM result_strings g WHERE g.order_code IS NOT NULL
			UNION ALL
			SELECT batch, result, order_code, line, strings FROM finished_given
		)
		SELECT o.ordered_on, t.wound_on, sum(1.0 * g.strings * e.each / 1000000) AS mass
		FROM owned g
		JOIN results t ON t.batch = g.batch AND t.number = g.number
		JOIN orders o ON o.code = g.order_code
		JOIN (SELECT batch, number, sum(mass_each) AS each FROM (SELECT DISTINCT batch, number, wire, mass_each FROM result_draws) d GROUP BY batch, number) e
			ON e.batch = g.batch AND e.number = g.number
		WHERE t.undone_at IS NULL AND t.wound_on >= ? AND g.strings > 0
		GROUP BY o.code, g.line, o.ordered_on, t.wound_on ORDER BY t.wound_on, o.code, g.line`, day(since))
	notices := make([]replenishment.Notice, len(rows))
	for i, n := range rows {
		notices[i] = replenishment.Notice{Days: max(int(n.WoundOn-n.OrderedOn), 0), Mass: measure.Mass(n.Mass)}
	}
	return notices, err
}

// SetQuantities gives the largest number of each standing set in an order line.
func (r *reader) SetQuantities() (map[catalog.SetCode]int, error) {
	type row struct {
		SetCode  catalog.SetCode
		Quantity int
	}
	rows, err := list[row](r, "SELECT set_code, max(quantity) AS quantity FROM order_lines WHERE set_code IS NOT NULL GROUP BY set_code")
	of := make(map[catalog.SetCode]int, len(rows))
	for _, q := range rows {
		of[q.SetCode] = q.Quantity
	}
	return of, err
}

// Minimums gives the shop's own minimums.
func (r *reader) Minimums() (map[material.WireCode]measure.Mass, error) {
	rows, err := list[workshop.WireChange](r, "SELECT wire, mass FROM wire_minimums")
	of := make(map[material.WireCode]measure.Mass, len(rows))
	for _, m := range rows {
		of[m.Wire] = m.Mass
	}
	return of, err
}

// Breaks gives the price breaks.
func (r *reader) Breaks() (map[material.WireCode][]replenishment.Break, error) {
	type row struct {
		Wire     material.WireCode
		FromMass measure.Mass
		replenishment.Break
	}
	rows, err := list[row](r, "SELECT wire, from_mass, price_per_kg FROM price_breaks ORDER BY wire, from_mass")
	of := map[material.WireCode][]replenishment.Break{}
	for _, b := range rows {
		of[b.Wire] = append(of[b.Wire], replenishment.Break{From: b.FromMass, PricePerKg: b.PricePerKg})
	}
	return of, err
}

// SetMinimum sets the shop's own minimum of a wire, spelled as it is kept.
func (t *tx) SetMinimum(wire material.WireCode, mass measure.Mass) error {
	_, err := t.exec("DELETE FROM wire_minimums WHERE wire = ?", wire)
	if err == nil && mass > 0 {
		_, err = t.exec("INSERT INTO wire_minimums (wire, mass) VALUES (?, ?)", wire, mass)
	}
	return named("minimum of wire", wire, err)
}

// SetBreaks sets the price breaks of a wire, spelled as it is kept.
func (t *tx) SetBreaks(wire material.WireCode, breaks []replenishment.Break) error {
	if _, err := t.exec("DELETE FROM price_breaks WHERE wire = ?", wire); err != nil {
		return named("price breaks of wire", wire, err)
	}
	err := insert(t, "price_breaks", "wire, from_mass, price_per_kg", breaks, func(b replenishment.Break) []any {
		return []any{wire, b.From, b.PricePerKg}
	})
	return named("price breaks of wire", wire, err)
}

// keptBalances is how many nights keep their projected balances: they are most of a night's text, and only the last one's are drawn.
const keptBalances = 2

type nightRow struct {
	Date             calendar.Date
	RanAt            time.Time
	RanBy            string
	Result, Balances string
}

// nightResult is what is kept of a night as JSON.
type nightResult struct {
	replenishment.Result
	Slips []workshop.Slip `json:",omitempty"`
}

// LastNight gives the newest night up to a day.
func (r *reader) LastNight(until calendar.Date) (workshop.Night, error) {
	row, err := one[nightRow](r, "SELECT * FROM nights WHERE date <= ? ORDER BY date DESC LIMIT 1", day(until))
	if err != nil {
		return workshop.Night{}, named("night up to", until.String(), err)
	}
	n := workshop.Night{Date: row.Date, RanAt: row.RanAt.UTC(), RanBy: row.RanBy}
	var result nightResult
	if err := json.Unmarshal([]byte(row.Result), &result); err != nil {
		return n, fmt.Errorf("night of %s: %w: %w", row.Date, ErrDamaged, err)
	}
	n.Result, n.Slips = result.Result, result.Slips
	balances := map[material.WireCode][]replenishment.Point{}
	if row.Balances != "" {
		if err := json.Unmarshal([]byte(row.Balances), &balances); err != nil {
			return n, fmt.Errorf("balances of the night of %s: %w: %w", row.Date, ErrDamaged, err)
		}
	}
	for i := range n.Wires {
		n.Wires[i].Balance = balances[n.Wires[i].Wire]
	}
	return n, nil
}

// SaveNight keeps a night, and of those long past no projected balances.
func (t *tx) SaveNight(n workshop.Night) error {
	balances := make(map[material.WireCode][]replenishment.Point, len(n.Wires))
	result := nightResult{Result: replenishment.Result{Purchases: n.Purchases}, Slips: n.Slips}
	for _, w := range n.Wires {
		balances[w.Wire] = w.Balance
		w.Balance = nil
		result.Wires = append(result.Wires, w)
	}
	texts := make([]string, 2)
	for i, v := range []any{result, balances} {
		b, err := json.Marshal(v)
		if err != nil {
			return named("night of", n.Date.String(), err)
		}
		texts[i] = string(b)
	}
	_, err := t.exec(`INSERT INTO nights (date, ran_at, ran_by, result, balances) VALUES (?, ?, ?, ?, ?)
		ON CONFLICT (date) DO UPDATE SET ran_at = excluded.ran_at, ran_by = excluded.ran_by, result = excluded.result, balances = excluded.balances`,
		day(n.Date), instant(n.RanAt), n.RanBy, texts[0], texts[1])
	if err == nil {
		_, err = t.exec(`UPDATE nights SET balances = '' WHERE balances <> '' AND date NOT IN (SELECT date FROM nights ORDER BY date DESC LIMIT ?)`, keptBalances)
	}
	return named("night of", n.Date.String(), err)
}

type alertAnswerRow struct {
	workshop.AlertAnswer
	UntilOn calendar.Date
}

// AlertAnswers gives the newest answer of each wire that holds.
func (r *reader) AlertAnswers() (map[material.WireCode]workshop.AlertAnswer, error) {
	rows, err := list[alertAnswerRow](r, "SELECT wire, level, person, at, reason, until_on FROM alert_answers WHERE lapsed_on IS NULL ORDER BY id")
	of := make(map[material.WireCode]workshop.AlertAnswer, len(rows))
	for _, a := range rows {
		a.AlertAnswer.Until, a.AlertAnswer.At = a.UntilOn, a.At.UTC()
		of[a.Wire] = a.AlertAnswer
	}
	return of, err
}

// AddAlertAnswer keeps an answer.
func (t *tx) AddAlertAnswer(a workshop.AlertAnswer) error {
	_, err := t.exec("INSERT INTO alert_answers (wire, level, person, at, reason, until_on) VALUES (?, ?, ?, ?, ?, ?)",
		a.Wire, a.Level, a.Person, instant(a.At), a.Reason, day(a.Until))
	return named("alert of wire", a.Wire, err)
}

// LapseAlertAnswers ends the answers of some wires.
func (t *tx) LapseAlertAnswers(wires []material.WireCode, on calendar.Date) error {
	return chunks(wires, func(part []material.WireCode) error {
		_, err := t.exec("UPDATE alert_answers SET lapsed_on = ? WHERE lapsed_on IS NULL AND wire IN ?", day(on), part)
		return err
	})
}
