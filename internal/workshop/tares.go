package workshop

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"windingroom/internal/intake"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
)

// LearnTare takes the weight of an empty spool into what is known of its type, which is made by its first one, and gives the
// type as it is known then. A mass that is no tare of the type is refused with stock.ErrTare. Winders, leads and owners may.
func (s *Shop) LearnTare(ctx context.Context, name string, mass measure.Mass, key string) (stock.SpoolType, error) {
	p, err := allow(ctx, "weighing an empty spool", Winder, Lead)
	if err != nil {
		return stock.SpoolType{}, err
	}
	if text := intake.BadCode(name); text != "" {
		return stock.SpoolType{}, wrong("type", "%s", text)
	}
	if err := fits(key); err != nil {
		return stock.SpoolType{}, err
	}
	var learned stock.SpoolType
	err = s.Store.InTx(ctx, func(tx Tx) error {
		empty := EmptySpool{Type: name, Mass: mass, At: s.Now(), Person: p.Name, Key: movementKey("tare", p, key)}
		if learned, err = typeNamed(tx, name); err != nil && !errors.Is(err, ErrNotFound) {
			return err
		}
		if learned.Name == "" {
			learned.Name = name
		}
		if err := learned.Check(mass); err != nil {
			return err
		}
		switch err := tx.AddEmptySpool(empty); {
		case errors.Is(err, ErrExists): // weighed under this key before
			return nil
		case err != nil:
			return err
		}
		if learned, err = typeNamed(tx, name); err != nil {
			return err
		}
		return tx.Record(s.audit(p, "weigh empty spool", learned.Name, fmt.Sprintf("%s, tare now %s from %d", mass, learned.Tare, learned.Weighed)))
	})
	return learned, err
}

// SpoolTypes lists what is known of the types of empty spools, by name. Everyone in the shop may see them.
func (s *Shop) SpoolTypes(ctx context.Context) ([]stock.SpoolType, error) {
	if _, err := allow(ctx, "seeing the stock", Roles()...); err != nil {
		return nil, err
	}
	var types []stock.SpoolType
	err := s.Store.Read(ctx, func(r Reader) (err error) {
		types, err = spoolTypes(r)
		return err
	})
	return types, err
}

func spoolTypes(r Reader) ([]stock.SpoolType, error) {
	empties, err := r.EmptySpools()
	if err != nil {
		return nil, err
	}
	types := make([]stock.SpoolType, 0, len(empties))
	for _, name := range sortedKeys(empties) {
		learned, err := stock.LearnTare(name, empties[name])
		if err != nil {
			return nil, err
		}
		types = append(types, learned)
	}
	return types, nil
}

// typeNamed gives what is known of one type; ErrNotFound where no spool of it was weighed.
func typeNamed(r Reader, name string) (stock.SpoolType, error) {
	types, err := spoolTypes(r)
	if err != nil {
		return stock.SpoolType{}, err
	}
	for _, t := range types {
		if strings.EqualFold(t.Name, name) {
			return t, nil
		}
	}
	return stock.SpoolType{}, fmt.Errorf("spool type %s: %w", name, ErrNotFound)
}

// spreadOf gives how far the tare of a spool may be off: nothing where it was weighed itself.
func spreadOf(r Reader, name string) (measure.Mass, error) {
	if name == "" {
		return 0, nil
	}
	t, err := typeNamed(r, name)
	return t.Spread(), err
}
