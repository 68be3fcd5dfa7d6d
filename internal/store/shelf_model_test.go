package store_test

import (
	"cmp"
	"fmt"
	"math/big"
	"slices"
	"time"

	"pgregory.net/rapid"

	"windingroom/internal/batch"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

// modelSpool is all that the model knows of a spool.
type modelSpool struct {
	wire        material.WireCode
	net, mass   measure.Mass
	tare        measure.Mass
	cost        money.Minor
	late        money.Minor // from invoices
	received    time.Time
	quarantined bool
	held        []held // by batches, in the order in which they are wound
}

type held struct {
	batch batch.Code
	draw  int
	mass  measure.Mass
}

func (m *modelSpool) allocated() (sum measure.Mass) {
	for _, h := range m.held {
		sum += h.mass
	}
	return sum
}

// value is cost with what turned up later × mass ÷ net to the nearest cent, a half up.
func (m *modelSpool) value() money.Minor {
	n := new(big.Int).Mul(big.NewInt(2*int64(m.cost+m.late)), big.NewInt(int64(m.mass)))
	n.Add(n, big.NewInt(int64(m.net)))
	return money.Minor(n.Div(n, big.NewInt(2*int64(m.net))).Int64())
}

// modelMove is what the model knows of a movement.
type modelMove struct {
	id       stock.MovementID
	spool    stock.SpoolCode
	kind     stock.Kind
	mass     measure.Mass
	at       time.Time
	reversed bool
	source   string
	keeps    stock.MovementID // the weighing that it keeps, or zero
}

func (m modelMove) weighs() bool {
	return (m.kind == stock.WeighBack || m.kind == stock.CountDifference) && m.keeps == 0
}

type shelf struct {
	db    *store.DB
	shop  *workshop.Shop
	now   time.Time
	asked money.Minor // by invoices so far
	order []stock.SpoolCode
	model map[stock.SpoolCode]*modelSpool
	moves []modelMove
}

// happened notes a movement that was posted.
func (s *shelf) happened(m stock.Movement) {
	s.model[m.Spool].mass += m.Mass
	s.note(m)
}

func (s *shelf) note(m stock.Movement) {
	noted := modelMove{id: m.ID, spool: m.Spool, kind: m.Kind, mass: m.Mass, at: m.EffectiveAt, source: m.Source}
	if m.Kind != stock.Reversal {
		_, _ = fmt.Sscanf(m.Source, "weighing %d", &noted.keeps)
	}
	s.moves = append(s.moves, noted)
}

// stands finds the first weighing of a spool after a moment, and after a movement of that moment, that was not taken back; zero for none.
func (s *shelf) stands(code stock.SpoolCode, at time.Time, id stock.MovementID) (first stock.MovementID) {
	var when time.Time
	for _, m := range s.moves {
		later := m.at.After(at) || m.at.Equal(at) && m.id > id
		if m.spool == code && m.weighs() && !m.reversed && later && (first == 0 || m.at.Before(when)) {
			first, when = m.id, m.at
		}
	}
	return first
}

// between says whether a difference at a moment keeps a spool within its bounds until a later weighing.
func (s *shelf) between(code stock.SpoolCode, at time.Time, weighing stock.MovementID, difference measure.Mass) bool {
	var own []modelMove
	for _, m := range s.moves {
		if m.spool == code {
			own = append(own, m)
		}
	}
	slices.SortFunc(own, func(a, b modelMove) int { return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.id, b.id)) })
	held := measure.Mass(0)
	for i, m := range own {
		if i > 0 && !own[i-1].at.Before(at) && (m.at.After(own[i-1].at) || m.id == weighing) && (held+difference < 0 || held+difference > s.model[code].net) {
			return false
		}
		if m.id == weighing {
			break
		}
		held += m.mass
	}
	return true
}

// keptBy notes the movements of a spool that the model does not know yet: pairs of which the second takes back the first, since the
// spool was weighed in between.
func (s *shelf) keptBy(r *rapid.T, code stock.SpoolCode, weighing stock.MovementID, pairs int) {
	moves, err := s.db.ReaderIn(s.db.Raw()).Movements(code)
	if err != nil || len(moves) < 2*pairs {
		r.Fatalf("%d movements, %v", len(moves), err)
	}
	moves = moves[len(moves)-2*pairs:]
	for i, m := range moves {
		s.note(m)
		if second := i%2 == 1; second && (m.Mass != -moves[i-1].Mass || s.moves[len(s.moves)-1].keeps != weighing || m.EffectiveAt.Before(moves[i-1].EffectiveAt)) {
			r.Fatalf("%+v is not kept from moving what movement %d weighed: %+v", moves[i-1], weighing, m)
		}
	}
}
