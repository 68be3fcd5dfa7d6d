package store

import (
	"errors"
	"fmt"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

// numbered says which numbered thing an error is about.
func numbered(what string, id stock.MovementID, err error) error {
	return named(what, fmt.Sprint(id), err)
}

// SetLocation puts a spool elsewhere.
func (t *tx) SetLocation(code stock.SpoolCode, location string) error {
	return t.changeSpool(code, "location = ?", location)
}

// SetState takes a spool out of use, or gives it back.
func (t *tx) SetState(code stock.SpoolCode, state stock.State) error {
	return t.changeSpool(code, "state = ?", state)
}

func (t *tx) changeSpool(code stock.SpoolCode, change string, value any) error {
	n, err := t.exec("UPDATE spools SET "+change+" WHERE lower(code) = lower(?)", value, code)
	if err == nil && n != 1 {
		err = workshop.ErrNotFound
	}
	return named("spool", code, err)
}

// EmptySpools gives what the empty spools of each type weighed.
func (r *reader) EmptySpools() (map[string][]measure.Mass, error) {
	type row struct {
		SpoolType string
		Mass      measure.Mass
	}
	rows, err := list[row](r, "SELECT spool_type, mass FROM empty_spools ORDER BY spool_type, number")
	of := map[string][]measure.Mass{}
	for _, e := range rows {
		of[e.SpoolType] = append(of[e.SpoolType], e.Mass)
	}
	return of, err
}

// AddEmptySpool keeps the weight of an empty spool under its type, which is made where there is none of that name.
func (t *tx) AddEmptySpool(e workshop.EmptySpool) error {
	if e.Key != "" {
		taken, err := one[int64](&t.reader, "SELECT count(*) FROM empty_spools WHERE key = ?", e.Key)
		if err == nil && taken > 0 {
			err = workshop.ErrExists
		}
		if err != nil {
			return named("spool type", e.Type, err)
		}
	}
	name, err := one[string](&t.reader, "SELECT code FROM spool_types WHERE lower(code) = lower(?)", e.Type)
	if errors.Is(err, workshop.ErrNotFound) {
		name = e.Type
		_, err = t.exec("INSERT INTO spool_types (code) VALUES (?)", name)
	}
	if err != nil {
		return named("spool type", e.Type, err)
	}
	last, err := one[int64](&t.reader, "SELECT coalesce(max(number), 0) FROM empty_spools WHERE spool_type = ?", name)
	if err != nil {
		return err
	}
	_, err = t.exec("INSERT INTO empty_spools (spool_type, number, mass, weighed_at, person, key) VALUES (?, ?, ?, ?, ?, ?)",
		name, last+1, e.Mass, instant(e.At), e.Person, orNull(e.Key))
	return named("spool type", name, err)
}

// DeliveryCodes gives the codes of deliveries that begin with a text.
func (r *reader) DeliveryCodes(prefix string) ([]string, error) {
	return list[string](r, "SELECT code FROM deliveries WHERE substr(lower(code), 1, ?) = lower(?) ORDER BY code", len(prefix), prefix)
}

// DeliverySpools gives the spools that came in a delivery, in its order.
func (r *reader) DeliverySpools(code string) ([]stock.SpoolCode, error) {
	codes, err := list[stock.SpoolCode](r, `
		SELECT s.code FROM spools s JOIN movements m ON m.spool = s.code AND m.kind = 'receipt'
		WHERE s.delivery = (SELECT code FROM deliveries WHERE lower(code) = lower(?))
		ORDER BY m.id`, code)
	if err == nil && len(codes) == 0 {
		err = workshop.ErrNotFound
	}
	return codes, named("delivery", code, err)
}

// AddDelivery notes that spools, which are there already, came in together.
func (t *tx) AddDelivery(d workshop.Delivery, codes []stock.SpoolCode) error {
	if err := refuseTaken(t, "delivery", "deliveries", []string{d.Code}, func(c string) string { return c }); err != nil {
		return err
	}
	_, err := t.exec("INSERT INTO deliveries (code, cost, freight, posted_at, person) VALUES (?, ?, ?, ?, ?)",
		d.Code, d.Cost, d.Freight, instant(d.PostedAt), d.Person)
	if err != nil {
		return named("delivery", d.Code, err)
	}
	for _, code := range codes {
		if err := t.changeSpool(code, "delivery = ?", d.Code); err != nil {
			return err
		}
	}
	return nil
}

// WireUsed adds up earlier consumption and draws, less what was put back.
func (r *reader) WireUsed(first, last calendar.Date) (map[material.WireCode]measure.Mass, error) {
	type row struct {
		Wire material.WireCode
		Mass measure.Mass
	}
	rows, err := list[row](r, `SELECT wire, CAST(sum(mass) AS BIGINT) AS mass FROM (
			SELECT wire, mass FROM usage WHERE used_on BETWEEN ? AND ?
			UNION ALL
			SELECT s.wire, -m.mass FROM movements m JOIN spools s ON s.code = m.spool
			LEFT JOIN movements o ON o.id = m.reverses
			WHERE coalesce(o.kind, m.kind) IN ('draw', 'scrap') AND m.effective_on BETWEEN ? AND ?) used
		GROUP BY wire`, day(first), day(last), day(first), day(last))
	used := make(map[material.WireCode]measure.Mass, len(rows))
	for _, u := range rows {
		used[u.Wire] = u.Mass
	}
	return used, err
}
