package workshop

import (
	"fmt"
	"time"

	"windingroom/internal/stock"
)

// weighingStands keeps what a scale said. What is posted for a time before a weighing of its spool, such as a result that is
// written up in the evening or one that is undone, was on the scale already: the spool goes on holding what was weighed, and the
// difference of that weighing, read against the books as they now are, is posted anew and charged to source.
func (s *Shop) weighingStands(tx Tx, p Person, spool stock.SpoolCode, from time.Time, source stock.Share) error {
	all, err := historyOf(tx, spool, time.Time{})
	if err != nil {
		return err
	}
	first, weighed := all.FirstWeighed(from)
	if !weighed {
		return nil
	}
	said, err := tx.Weighing(first.ID)
	if err != nil {
		return err
	}
	book := stock.HistoryOf(all, first.EffectiveAt).Mass()
	difference := said.Net - book
	if difference == 0 {
		return nil
	}
	now, err := tx.Spool(spool)
	if err != nil {
		return err
	}
	m, err := s.post(tx, p, now, difference, stock.Movement{
		Kind: first.Kind, EffectiveAt: first.EffectiveAt, Source: "scale",
		Reason: fmt.Sprintf("movement %d weighed this already", first.ID),
	})
	if err != nil {
		return err
	}
	source.Mass = difference
	return tx.KeepWeighing(Weighing{
		Movement: m, Gross: said.Gross, Tare: said.Tare, Book: book, Net: said.Net, Uncertainty: said.Uncertainty,
		Note: m.Reason, Shares: []stock.Share{source},
	})
}

// effective gives the instant at which a posted movement took effect.
func effective(r Reader, spool stock.SpoolCode, id stock.MovementID) (time.Time, error) {
	moves, err := r.Movements(spool)
	if err != nil {
		return time.Time{}, err
	}
	for _, m := range moves {
		if m.ID == id {
			return m.EffectiveAt, nil
		}
	}
	return time.Time{}, fmt.Errorf("movement %d of spool %s: %w", id, spool, ErrNotFound)
}
