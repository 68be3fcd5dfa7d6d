package workshop

import (
	"slices"
	"time"

	"windingroom/internal/measure"
	"windingroom/internal/stock"
)

// postKept posts movements and keeps what scales said. What is posted for a time before a weighing of its spool, such as a result
// that is written up later, one that is undone, or an earlier weighing, was on the scale already: the spool goes on holding what was
// weighed. The difference of that weighing, read against the books as they now are, is borne by whom it would have been then.
func (s *Shop) postKept(tx Tx, moves []stock.Movement) ([]stock.Movement, error) {
	var all []stock.Movement
	keep := map[int]Weighing{} // by place in all
	for _, m := range moves {
		all = append(all, m)
		kept, found, err := s.kept(tx, all, keep)
		if err != nil {
			return nil, err
		}
		if found {
			keep[len(all)] = kept
			all = append(all, kept.Movement)
		}
	}
	owed, err := s.owed(tx, all)
	if err != nil {
		return nil, err
	}
	posted, err := tx.Post(append(all, owed...))
	if err != nil {
		return nil, err
	}
	own := posted[:0:0]
	for i, m := range posted[:len(all)] {
		kept, keeps := keep[i]
		if !keeps {
			own = append(own, m)
			continue
		}
		kept.Movement = m
		if err := tx.KeepWeighing(kept); err != nil {
			return nil, err
		}
	}
	return own, nil
}

// owed gives the late cost that wire bears again where what was taken off before the cost turned up comes back (or no longer, where a
// receipt goes): a movement goes back at the cost it had. It takes effect now, since the cost was not known then.
func (s *Shop) owed(tx Tx, moves []stock.Movement) (owed []stock.Movement, err error) {
	last := map[stock.SpoolCode]int{}
	for i, m := range moves {
		last[m.Spool] = i
	}
	for i, m := range moves {
		if last[m.Spool] != i {
			continue
		}
		b, err := tx.Spool(m.Spool)
		if err != nil {
			return nil, err
		}
		if b.Late == 0 {
			continue
		}
		for _, other := range moves {
			if other.Spool == m.Spool {
				b.Mass, b.Value = b.Mass+other.Mass, b.Value+other.Cost
			}
		}
		cost := b.CostOf(0)
		if cost == 0 {
			continue
		}
		m.Kind, m.Mass, m.Cost, m.Key, m.Reverses, m.Reason = stock.CostUsed, 0, cost, "", 0, "late cost of the wire that came back: "+m.Reason
		if now := s.Now().UTC(); now.After(m.EffectiveAt) {
			m.EffectiveOn, m.EffectiveAt = s.date(now), now
		}
		owed = append(owed, m)
	}
	return owed, nil
}

// kept gives what keeps the weighing after the last of some movements that are about to be posted, if there is one.
func (s *Shop) kept(tx Tx, pending []stock.Movement, keep map[int]Weighing) (w Weighing, found bool, err error) {
	last := pending[len(pending)-1]
	h, err := historyOf(tx, last.Spool, time.Time{})
	if err != nil {
		return w, false, err
	}
	weighing, found := since(h, last)
	if !found {
		return w, false, nil
	}
	said, err := tx.Weighing(weighing.ID)
	if err != nil {
		return w, false, err
	}
	w = Weighing{Movement: weighing.Keeping(last), Gross: said.Gross, Tare: said.Tare, Net: said.Net, Uncertainty: said.Uncertainty}
	w.Book, w.Note = w.Net-w.Movement.Mass, w.Movement.Reason

	borne, difference := said.Shares, weighing.Mass+w.Movement.Mass
	add := func(of stock.Movement, shares []stock.Share) {
		if id, ok := of.Keeps(); ok && id == weighing.ID {
			borne, difference = append(borne, shares...), difference+of.Mass
		}
	}
	for _, m := range h {
		if id, ok := m.Keeps(); ok && id == weighing.ID {
			earlier, err := tx.Weighing(m.ID)
			if err != nil {
				return w, false, err
			}
			add(m, earlier.Shares)
		}
	}
	for i, m := range pending {
		if m.Spool == last.Spool {
			h = append(h, took(h, m))
			add(m, keep[i].Shares)
		}
	}
	w.Shares, err = s.bearers(tx, stock.HistoryOf(h, time.Time{}).Before(weighing), said, difference, borne)
	return w, true, err
}

// since finds the weighing that stands after a movement and says that it moves nothing any more. Without its receipt a spool was never
// there, whatever a scale said.
func since(h stock.History, m stock.Movement) (weighing stock.Movement, found bool) {
	for _, other := range h {
		if m.Reverses != 0 && other.ID == m.Reverses && other.Kind == stock.Receipt {
			return weighing, false
		}
	}
	return h.WeighedSince(took(h, m))
}

// took gives a movement as of when it took effect: one that takes another back undoes it from then on, and one that keeps a weighing
// belongs to it.
func took(h stock.History, m stock.Movement) stock.Movement {
	id := m.Reverses
	for _, other := range slices.Backward(h) {
		if id == 0 || other.ID != id {
			continue
		}
		m.EffectiveAt, m.ID = other.EffectiveAt, other.ID
		if id, _ = other.Keeps(); id == 0 {
			break
		}
	}
	return m
}

// bearers gives who bears the change of a weighing's difference: those who bear it as it now is, less what they bear already.
func (s *Shop) bearers(tx Tx, before stock.History, said Weighing, difference measure.Mass, borne []stock.Share) ([]stock.Share, error) {
	b, err := tx.Spool(said.Movement.Spool)
	if err != nil {
		return nil, err
	}
	practice, err := tx.Practice()
	if err != nil {
		return nil, err
	}
	w := stock.Weighing{Balance: b, Gross: said.Gross, Scale: stock.Scale{Resolution: practice.ScaleResolution}, Drawn: before.Drawn(), Confirmed: true}
	w.Balance.Mass = said.Net - difference
	if err := recipesInto(tx, w.Drawn); err != nil {
		return nil, err
	}
	if w.TareSpread, err = spreadOf(tx, b.Type); err != nil {
		return nil, err
	}
	verdict, err := stock.Judge(w, stock.DefaultLossLimit())
	if err != nil { // it cannot be judged any more: nobody bears it
		verdict.Shares = []stock.Share{{Mass: difference}}
	}
	return stock.Rest(verdict.Shares, borne), nil
}
