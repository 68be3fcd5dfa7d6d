package workshop

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// SpoolNow is a spool as it is now.
type SpoolNow struct {
	Spool    stock.Balance
	Currency money.Currency
}

// Place carries a spool to another place. Everyone in the shop may; the same place again changes nothing.
func (s *Shop) Place(ctx context.Context, code stock.SpoolCode, location string) (SpoolNow, error) {
	p, err := allow(ctx, "placing a spool", Roles()...)
	if err != nil {
		return SpoolNow{}, err
	}
	location = strings.TrimSpace(location)
	switch {
	case location == "":
		return SpoolNow{}, wrong("location", "is needed: where the spool stands now")
	case len(location) > mostWords:
		return SpoolNow{}, wrong("location", "is %d bytes long; at most %d", len(location), mostWords)
	}
	return s.changeSpool(ctx, code, func(tx Tx, b stock.Balance) error {
		if b.Location == location {
			return nil
		}
		if err := tx.SetLocation(b.Code, location); err != nil {
			return err
		}
		return tx.Record(s.audit(p, "place spool", string(b.Code), fmt.Sprintf("from %q to %q", b.Location, location)))
	})
}

// mostWords bounds what a person writes into one field, in bytes.
const mostWords = 1000

// Quarantine keeps a spool out of plans until it is released. It is refused while batches hold wire of it. Only a lead or an
// owner may; a spool that is quarantined stays so.
func (s *Shop) Quarantine(ctx context.Context, code stock.SpoolCode, reason string) (SpoolNow, error) {
	return s.setState(ctx, code, stock.Quarantined, "quarantine spool", reason)
}

// ReleaseSpool gives a quarantined spool back to planning. Only a lead or an owner may; one that is not quarantined stays so.
func (s *Shop) ReleaseSpool(ctx context.Context, code stock.SpoolCode, reason string) (SpoolNow, error) {
	return s.setState(ctx, code, stock.Available, "release spool", reason)
}

func (s *Shop) setState(ctx context.Context, code stock.SpoolCode, state stock.State, act, reason string) (SpoolNow, error) {
	p, err := allow(ctx, act, Lead)
	if err != nil {
		return SpoolNow{}, err
	}
	if reason, err = because(reason); err != nil {
		return SpoolNow{}, err
	}
	return s.changeSpool(ctx, code, func(tx Tx, b stock.Balance) error {
		switch {
		case b.State == state:
			return nil
		case state == stock.Quarantined && b.Allocated > 0:
			return heldBy(tx, b, "quarantined")
		}
		if err := tx.SetState(b.Code, state); err != nil {
			return err
		}
		if err := s.settle(tx, p, b.Wire); err != nil {
			return err
		}
		return tx.Record(s.audit(p, act, string(b.Code), reason))
	})
}

// changeSpool changes something of a spool that is no wire.
func (s *Shop) changeSpool(ctx context.Context, code stock.SpoolCode, change func(Tx, stock.Balance) error) (now SpoolNow, err error) {
	err = s.Store.InTx(ctx, func(tx Tx) error {
		b, err := tx.Spool(code)
		if err != nil {
			return err
		}
		if err := change(tx, b); err != nil {
			return err
		}
		practice, err := tx.Practice()
		if err != nil {
			return err
		}
		now.Currency = practice.Currency
		now.Spool, err = tx.Spool(code)
		return err
	})
	return now, err
}

// RemnantList is the ends that are too short for a batch: for scrap sale, or for a string that happens to fit.
type RemnantList struct {
	Currency money.Currency
	Spools   []Remnant      // by alloy, wire and code
	Alloys   []RemnantAlloy // by alloy; what a scrap dealer weighs
}

// Remnant is a spool below its wire's usable end that is not empty.
type Remnant struct {
	stock.Balance
	Alloy material.AlloyCode
}

// RemnantAlloy is the remnants of one alloy.
type RemnantAlloy struct {
	Alloy  material.AlloyCode
	Spools int
	Mass   measure.Mass
	Value  money.Minor
}

// Remnants lists the ends below the usable end. Everyone in the shop may see them.
func (s *Shop) Remnants(ctx context.Context) (RemnantList, error) {
	if _, err := allow(ctx, "seeing the stock", Roles()...); err != nil {
		return RemnantList{}, err
	}
	var list RemnantList
	err := s.Store.Read(ctx, func(r Reader) error {
		practice, err := r.Practice()
		if err != nil {
			return err
		}
		wires, err := r.Wires()
		if err != nil {
			return err
		}
		spools, err := r.Spools()
		if err != nil {
			return err
		}
		list = remnantsOf(spools, wires)
		list.Currency = practice.Currency
		return nil
	})
	return list, err
}

func remnantsOf(spools []stock.Balance, wires []material.Wire) (list RemnantList) {
	alloys := make(map[material.WireCode]material.AlloyCode, len(wires))
	for _, w := range wires {
		alloys[w.Code] = w.Alloy
	}
	sums := map[material.AlloyCode]RemnantAlloy{}
	for _, b := range spools {
		if b.Mass == 0 || !b.Remnant() {
			continue
		}
		alloy := alloys[b.Wire]
		list.Spools = append(list.Spools, Remnant{b, alloy})
		sum := sums[alloy]
		sums[alloy] = RemnantAlloy{alloy, sum.Spools + 1, sum.Mass + b.Mass, sum.Value + b.Value}
	}
	slices.SortFunc(list.Spools, func(a, b Remnant) int {
		return cmp.Or(cmp.Compare(a.Alloy, b.Alloy), cmp.Compare(a.Wire, b.Wire), cmp.Compare(a.Code, b.Code))
	})
	for _, alloy := range sortedKeys(sums) {
		list.Alloys = append(list.Alloys, sums[alloy])
	}
	return list
}
