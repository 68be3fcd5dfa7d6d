package workshop

import (
	"windingroom/internal/batch"
	"windingroom/internal/measure"
	"windingroom/internal/planning"
	"windingroom/internal/requirements"
)

// shrink frees what a released batch holds beyond what it still has to wind.
func shrink(tx Tx, b batch.Batch) error {
	results, err := tx.Results(b.Code)
	if err != nil {
		return err
	}
	claims, err := claimsOf(tx, b, results)
	if err != nil {
		return err
	}
	for i, d := range b.Draws {
		if claims[i] < d.Allocated {
			if err := hold(tx, b, i, claims[i]); err != nil {
				return err
			}
		}
	}
	return nil
}

// claimsOf gives what each draw of a batch still needs, when it winds for the orders alone that still want strings.
func claimsOf(r Reader, b batch.Batch, results []batch.Result) ([]measure.Mass, error) {
	bench, err := benchOf(r, b.Recipe)
	if err != nil {
		return nil, err
	}
	each, err := eachOf(bench, b, results)
	if err != nil {
		return nil, err
	}
	n, err := toWind(r, bench, b)
	if err != nil {
		return nil, err
	}
	return b.Claims(n, each, results), nil
}

// toWind gives how many strings a batch winds in all: as planned, or, where orders it serves want no more, as many as the others
// ask for.
func toWind(r Reader, bench *requirements.Bench, b batch.Batch) (int, error) {
	wanted := 0
	for _, sv := range b.Serves {
		o, err := r.Order(sv.Order)
		if err != nil {
			return 0, err
		}
		if o.Open() {
			wanted += sv.Strings
		}
	}
	switch {
	case wanted == b.Ordered:
		return b.ToWind, nil
	case wanted == 0:
		return 0, nil
	}
	recipe, err := bench.Recipe(b.Recipe)
	if err != nil {
		return 0, err
	}
	practice, err := r.Practice()
	if err != nil {
		return 0, err
	}
	n, err := planning.Overage(wanted, recipe.Yield, practice.CompletionConfidence)
	return min(n, b.ToWind), err
}

// hold sets what a draw of a batch, counted from 0, holds of its spool.
func hold(tx Tx, b batch.Batch, draw int, mass measure.Mass) error {
	d := b.Draws[draw]
	if mass == d.Allocated {
		return nil
	}
	if err := tx.Allocate(d.Spool, mass-d.Allocated); err != nil {
		return err
	}
	return tx.SetDrawAllocated(b.Code, draw+1, mass)
}
