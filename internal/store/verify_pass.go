package store

import (
	"cmp"
	"fmt"
	"slices"

	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

// sums is what the movements of a spool add up to so far.
type sums struct {
	code        stock.SpoolCode
	net         measure.Mass
	keptMass    measure.Mass
	keptValue   money.Minor
	keptLate    money.Minor
	mass        measure.Mass
	value, late money.Minor
	last        stock.MovementID
}

// balancesOff re-adds the ledger in one reading, in the order in which movements were posted, and compares with what spools keep. A ledger of a
// million movements is added up here several times faster than by the database's windows.
func (r *reader) balancesOff() ([]workshop.Discrepancy, error) {
	spools, err := r.sumsToAdd()
	if err != nil {
		return nil, err
	}
	var found findings
	rows, err := r.db.Raw("SELECT id, spool, kind, mass, cost, source FROM movements ORDER BY id").Rows()
	if err != nil {
		return nil, translate(err)
	}
	defer rows.Close()
	for rows.Next() {
		var m stock.Movement
		if err := rows.Scan(&m.ID, &m.Spool, &m.Kind, &m.Mass, &m.Cost, &m.Source); err != nil {
			return nil, translate(err)
		}
		s := spools[m.Spool]
		if s == nil {
			continue // another check tells
		}
		// What keeps a weighing or settles a late cost happens at once with what is before it.
		if !m.Follows() && m.Kind != stock.CostUsed {
			found.bounds(s)
		}
		s.mass, s.value, s.last = s.mass+m.Mass, s.value+m.Cost, m.ID
		if m.Kind == stock.CostDifference {
			s.late += m.Cost
		}
	}
	if err := rows.Err(); err != nil {
		return nil, translate(err)
	}
	list := make([]*sums, 0, len(spools))
	for _, s := range spools {
		list = append(list, s)
	}
	slices.SortFunc(list, func(a, b *sums) int { return cmp.Compare(a.code, b.code) })
	for _, s := range list {
		found.bounds(s)
		found.kept(s)
	}
	return found.list, nil
}

func (r *reader) sumsToAdd() (map[stock.SpoolCode]*sums, error) {
	rows, err := r.db.Raw("SELECT code, gross - tare, mass, value, late_cost FROM spools").Rows()
	if err != nil {
		return nil, translate(err)
	}
	defer rows.Close()
	spools := map[stock.SpoolCode]*sums{}
	for rows.Next() {
		s := &sums{}
		if err := rows.Scan(&s.code, &s.net, &s.keptMass, &s.keptValue, &s.keptLate); err != nil {
			return nil, translate(err)
		}
		spools[s.code] = s
	}
	return spools, translate(rows.Err())
}

// findings gathers what is broken, of each invariant the first few.
type findings struct {
	list  []workshop.Discrepancy
	count map[string]int
}

func (f *findings) add(invariant string, s *sums, detail string, args ...any) {
	if f.count == nil {
		f.count = map[string]int{}
	}
	switch f.count[invariant]++; {
	case f.count[invariant] <= mostOf:
		f.list = append(f.list, workshop.Discrepancy{Invariant: invariant, Subject: string(s.code), Detail: fmt.Sprintf(detail, args...)})
	case f.count[invariant] == mostOf+1:
		f.list = append(f.list, workshop.Discrepancy{Invariant: invariant, Subject: "more", Detail: fmt.Sprintf("only the first %d are listed", mostOf)})
	}
}

// bounds looks at a spool as its last movement left it.
func (f *findings) bounds(s *sums) {
	var broken string
	switch {
	case s.mass < 0:
		broken = "a spool never holds less than nothing"
	case s.mass > s.net:
		broken = "a spool never holds more than was received"
	case s.mass == 0 && s.value != 0:
		broken = "a spool that was empty carried no cost"
	default:
		return
	}
	f.add(broken, s, "after movement %d it held %d mg of %d mg received, at %d minor units", s.last, int64(s.mass), int64(s.net), s.value)
}

// kept compares what a spool keeps with its sums.
func (f *findings) kept(s *sums) {
	if s.keptMass != s.mass {
		f.add("the mass kept on a spool is the sum of its movements", s, "kept %d mg, movements sum to %d mg", int64(s.keptMass), int64(s.mass))
	}
	if s.keptValue != s.value {
		f.add("the cost kept on a spool is the sum of its movements' costs", s, "kept %d, movements sum to %d minor units", s.keptValue, s.value)
	}
	if s.keptLate != s.late {
		f.add("the late cost kept on a spool is the sum of its cost differences", s, "kept %d, movements sum to %d minor units", s.keptLate, s.late)
	}
}
