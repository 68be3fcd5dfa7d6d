package workshop

import (
	"context"
	"errors"
	"time"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// SpoolStory is one spool: what it holds, for whom, and everything that happened to it.
type SpoolStory struct {
	Spool       stock.Balance
	Currency    money.Currency
	Wire        material.Wire
	AlloyName   string
	Uncertainty measure.Mass // of the balance, k = 2
	Weighed     time.Time    // the last weighing that stands; zero: never
	Holders     []Holder
	Events      []SpoolEvent // the last one first
}

// SpoolEvent is a movement with what the spool held after it.
type SpoolEvent struct {
	stock.Movement
	After      measure.Mass
	Weighing   *Weighing        // of a weigh-back or a count
	TakenBack  stock.MovementID // by the movement of this number; zero: it stands
	Reversible bool             // by Reverse, as far as its kind goes
}

// SpoolStory gives one spool; ErrNotFound where there is none of that code. Everyone in the shop may see it.
func (s *Shop) SpoolStory(ctx context.Context, code stock.SpoolCode) (story SpoolStory, err error) {
	if _, err := allow(ctx, "seeing the stock", Roles()...); err != nil {
		return story, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		story = SpoolStory{}
		if story.Spool, err = r.Spool(code); err != nil {
			return err
		}
		if story.Wire, err = wireOf(r, story.Spool.Wire); err != nil {
			return err
		}
		alloys, err := allAlloys(r)
		if err != nil {
			return err
		}
		alloy, _ := alloys.Find(story.Wire.Alloy)
		story.AlloyName = alloy.Name
		if story.Holders, err = r.Holders(story.Spool.Code); err != nil {
			return err
		}
		return story.tell(r)
	})
	return story, err
}

// tell fills in what happened and how sure the balance is.
func (story *SpoolStory) tell(r Reader) error {
	practice, err := r.Practice()
	if err != nil {
		return err
	}
	story.Currency = practice.Currency
	h, err := historyOf(r, story.Spool.Code, time.Time{})
	if err != nil {
		return err
	}
	spread, err := spreadOf(r, story.Spool.Type)
	if err != nil {
		return err
	}
	drawn := h.Drawn()
	if err := recipesInto(r, drawn); err != nil {
		return err
	}
	story.Uncertainty = stock.BookUncertainty(stock.Scale{Resolution: practice.ScaleResolution}, drawn).Expanded() + spread
	if last, ok := h.Weighed(); ok {
		story.Weighed = last.EffectiveAt
	}
	takenBack := map[stock.MovementID]stock.MovementID{}
	for _, m := range h {
		if m.Reverses != 0 {
			takenBack[m.Reverses] = m.ID
		}
	}
	var mass measure.Mass
	story.Events = make([]SpoolEvent, len(h))
	for i, m := range h {
		mass += m.Mass
		e := SpoolEvent{Movement: m, After: mass, TakenBack: takenBack[m.ID]}
		if e.Weighing, err = weighingOf(r, m); err != nil {
			return err
		}
		_, keeps := m.Keeps()
		e.Reversible = e.TakenBack == 0 && !keeps && m.Kind != stock.Draw && m.Kind != stock.Scrap && m.Kind != stock.Reversal
		story.Events[len(h)-1-i] = e
	}
	return nil
}

// weighingOf gives the weighing behind a movement; nil where there is none.
func weighingOf(r Reader, m stock.Movement) (*Weighing, error) {
	if m.Kind != stock.WeighBack && m.Kind != stock.CountDifference {
		return nil, nil
	}
	w, err := r.Weighing(m.ID)
	if errors.Is(err, ErrNotFound) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	return &w, nil
}
