package workshop

import (
	"context"

	"windingroom/internal/calendar"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// StockList is what every spool holds, and the currency its cost is in.
type StockList struct {
	At       calendar.Date // zero for now
	Currency money.Currency
	Spools   []stock.Balance // by code
}

// Stock lists the spools as they are now, or as they were when the day at was over. Everyone in the shop may see it.
func (s *Shop) Stock(ctx context.Context, at calendar.Date) (StockList, error) {
	if _, err := allow(ctx, "seeing the stock", Roles()...); err != nil {
		return StockList{}, err
	}
	list := StockList{At: at}
	err := s.Store.Read(ctx, func(r Reader) error {
		practice, err := r.Practice()
		if err != nil {
			return err
		}
		list.Currency = practice.Currency
		if at.IsZero() || at == s.Today() {
			list.Spools, err = r.Spools()
		} else {
			list.Spools, err = r.SpoolsAt(at)
		}
		return err
	})
	return list, err
}

// Movements lists what went on and off one spool, oldest first.
func (s *Shop) Movements(ctx context.Context, code stock.SpoolCode) (SpoolHistory, error) {
	if _, err := allow(ctx, "seeing the stock", Roles()...); err != nil {
		return SpoolHistory{}, err
	}
	var h SpoolHistory
	err := s.Store.Read(ctx, func(r Reader) error {
		practice, err := r.Practice()
		if err != nil {
			return err
		}
		h.Currency = practice.Currency
		if h.Spool, err = r.Spool(code); err != nil {
			return err
		}
		h.Movements, err = r.Movements(code)
		return err
	})
	return h, err
}

// SpoolHistory is a spool with its movements.
type SpoolHistory struct {
	Spool     stock.Balance
	Currency  money.Currency
	Movements []stock.Movement
}
