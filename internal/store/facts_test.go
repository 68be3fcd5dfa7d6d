package store_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

func TestFactsComeBackAsTheyWere(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		read(t, db, func(r workshop.Reader) error {
			same(t, "suppliers", suppliers)(r.Suppliers())
			same(t, "alloys", alloys)(r.Alloys())
			same(t, "wires", wires)(r.Wires())
			same(t, "recipes", recipes)(r.Recipes())
			same(t, "sets", sets)(r.Sets())
			same(t, "machines", machines)(r.Machines())
			return nil
		})
		release(t, db)
		want := proposal()
		want.Released, want.ReleasedBy, want.ReleasedAt = true, "ines", noon
		for i := range want.Machines {
			for j := range want.Machines[i].Batches {
				want.Machines[i].Batches[j].Status = "released"
			}
		}
		read(t, db, func(r workshop.Reader) error {
			same(t, "plan", want)(r.Plan(monday))
			return nil
		})
	})
}

// same compares an answer with what it should be.
func same[T any](t *testing.T, what string, want T) func(T, error) {
	t.Helper()
	return func(got T, err error) {
		t.Helper()
		if err != nil {
			t.Errorf("%s: %v", what, err)
		} else if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", what, diff)
		}
	}
}
