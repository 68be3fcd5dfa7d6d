package store_test

import (
	"fmt"
	"slices"
	"testing"

	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

func invariants(t testing.TB, db *store.DB) []string {
	t.Helper()
	return names(t, answered(t, db, workshop.Reader.Discrepancies))
}

// names gives the invariants that are broken, each once.
func names(t testing.TB, found []workshop.Discrepancy) []string {
	t.Helper()
	var list []string
	for _, d := range found {
		if d.Subject == "" || d.Detail == "" {
			t.Errorf("%q names no subject or no detail", d.Invariant)
		}
		list = append(list, d.Invariant)
	}
	slices.Sort(list)
	return slices.Compact(list)
}

func TestDiscrepanciesNameWhatIsBroken(t *testing.T) {
	tests := []spoilt{
		{"mass kept", []string{"UPDATE spools SET mass = mass - 1 WHERE code = 'S-2'"},
			[]string{"the mass kept on a spool is the sum of its movements", "the closing stock of a wire is what its spools hold"}},
		{"cost kept", []string{"UPDATE spools SET value = value + 1 WHERE code = 'S-2'"},
			[]string{"the cost kept on a spool is the sum of its movements' costs", "the closing stock of a wire is what its spools hold"}},
		{"negative for a moment", []string{
			move(90, "S-2", "draw", -500001, 0), move(91, "S-2", "receipt", 500001, 0)},
			[]string{"a spool never holds less than nothing"}},
		{"negative until a weighing is kept, at once", []string{
			move(90, "S-2", "draw", -500001, 0), move(91, "S-2", "receipt", 500001, 0), "UPDATE movements SET source = 'weighing 9' WHERE id = 91"}, nil},
		{"negative after a weighing was kept", []string{
			move(90, "S-2", "draw", -500001, 0), move(91, "S-2", "receipt", 0, 0), "UPDATE movements SET source = 'weighing 9' WHERE id = 91",
			move(92, "S-2", "receipt", 500001, 0)},
			[]string{"a spool never holds less than nothing"}},
		{"more than received for a moment", []string{
			move(90, "S-2", "receipt", 1, 0), move(91, "S-2", "draw", -1, 0)},
			[]string{"a spool never holds more than was received"}},
		{"cost on an empty spool", []string{
			move(90, "S-2", "draw", -500000, -2824), "UPDATE spools SET mass = 0, value = 1, allocated = 0 WHERE code = 'S-2'"},
			[]string{"an empty spool carries no cost", "a spool that was empty carried no cost", "allocated wire is what released batches will draw"}},
		{"allocated beyond stock", []string{"UPDATE spools SET allocated = mass + 1 WHERE code = 'S-3'"},
			[]string{"allocated wire is on hand", "allocated wire is what released batches will draw"}},
		{"allocated without a batch", []string{"UPDATE spools SET allocated = allocated + 1 WHERE code = 'S-3'"},
			[]string{"allocated wire is what released batches will draw"}},
		{"spool gone", []string{"DELETE FROM spools WHERE code = 'S-3'"},
			[]string{"the spool of every movement exists", "a batch draws each wire from a spool of that wire"}},
		{"reversal of another mass", []string{
			move(90, "S-2", "draw", -10, 0), reversal(91, "S-2", 9, 0, 90), "UPDATE spools SET mass = mass - 1 WHERE code = 'S-2'"},
			[]string{"a reversal mirrors the movement it reverses"}},
		{"reversal on another spool", []string{
			move(90, "S-2", "draw", -10, 0), move(91, "S-3", "draw", -10, 0), reversal(92, "S-3", 10, 0, 90), "UPDATE spools SET mass = mass - 10 WHERE code = 'S-2'"},
			[]string{"a reversal mirrors the movement it reverses"}},
		{"reversal of another cost", []string{
			move(90, "S-2", "draw", -10, -4), reversal(91, "S-2", 10, 2, 90), "UPDATE spools SET value = value - 2 WHERE code = 'S-2'"},
			[]string{"a reversal mirrors the movement it reverses"}},
		{"reversed twice", []string{"DROP INDEX movements_reverses",
			move(90, "S-2", "draw", -10, 0), move(91, "S-2", "draw", -10, 0), reversal(92, "S-2", 10, 0, 90), reversal(93, "S-2", 10, 0, 90)},
			[]string{"nothing is reversed twice"}},
		{"key twice", []string{"DROP INDEX movements_key", "UPDATE movements SET key = 'same'"},
			[]string{"one key posts once"}},
		{"posted after closing", []string{
			"INSERT INTO periods (month, closed_at, closed_by, figures_hash) VALUES ('2026-01', '2026-02-03 08:00:00+00:00', 'bo', 'x')"},
			[]string{"a closed month accepts no movement", "a closed month is as it was closed", "a closed month stands in the history as closed"}},
		{"kind outside the books", []string{"UPDATE movements SET kind = 'gift' WHERE spool = 'S-2'"},
			[]string{"opening and what moved give the closing stock of a month"}},
		{"weighing of another difference", []string{"UPDATE weighings SET net = net - 1"},
			[]string{"a weighing posts what it differs by", "the shares of a weighing sum to its difference"}},
		{"difference without a weighing", []string{"DELETE FROM weighing_shares", "DELETE FROM weighings"},
			[]string{"a weighing posts what it differs by"}},
		{"weighing of a draw", []string{"UPDATE movements SET kind = 'draw' WHERE kind = 'weigh-back difference'"},
			[]string{"a weighing posts what it differs by"}},
		{"share missing", []string{"DELETE FROM weighing_shares WHERE number = 2"},
			[]string{"the shares of a weighing sum to its difference"}},
		{"noise charged", []string{"UPDATE weighings SET noise = (1 = 1)"}, []string{"noise is charged to no batch"}},
		{"state unknown", []string{"UPDATE spools SET state = 'lost' WHERE code = 'S-1'"}, []string{"a spool is available or quarantined"}},
		{"promised in quarantine", []string{"UPDATE spools SET state = 'quarantined' WHERE code = 'S-3'"},
			[]string{"a quarantined spool is promised to nobody"}},
		{"delivery of another cost", []string{"UPDATE deliveries SET freight = freight + 1"}, []string{"a delivery costs what its spools cost"}},
		{"delivery without spools", []string{"UPDATE spools SET delivery = NULL"}, []string{"a delivery costs what its spools cost"}},
		{"draw of another wire", []string{"UPDATE batch_draws SET wire = 'W-R-12' WHERE batch = 'B1'"},
			[]string{"a batch draws each wire from a spool of that wire", "a batch draws every wire of its recipe for every string",
				"a batch draws no wire that its recipe does not have"}},
		{"serve of no order", []string{"UPDATE batch_serves SET position = 7 WHERE batch = 'B1'"},
			[]string{"a batch serves strings that orders have"}},
		{"ordered", []string{"UPDATE batches SET ordered = ordered - 1 WHERE code = 'B2'"},
			[]string{"a batch is ordered by the strings it serves"}},
		{"draw missing", []string{"DELETE FROM batch_draws WHERE batch = 'B2' AND number = 3", "UPDATE spools SET allocated = 0 WHERE code = 'S-3'"},
			[]string{"a batch draws every wire of its recipe for every string"}},
		{"batch not released", []string{"UPDATE batches SET status = 'proposed' WHERE code = 'B2'"},
			[]string{"allocated wire is what released batches will draw", "only a released batch holds wire"}},
		{"nothing released", []string{"UPDATE batches SET status = 'proposed'"},
			[]string{"a plan of which something is released has a batch that is", "allocated wire is what released batches will draw", "only a released batch holds wire"}},
		{"plan not released", []string{"UPDATE plans SET released = FALSE"},
			[]string{"a batch is released with the plan of its day"}},
	}
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		release(t, db)
		weigh(t, db)
		deliver(t, db)
		namesWhatIsBroken(t, db, tests)
	})
}

// spoilt is statements that break a sound database, and the invariants that must be named.
type spoilt struct {
	name  string
	spoil []string
	want  []string
}

// namesWhatIsBroken spoils a sound database in several ways, each undone before the next.
func namesWhatIsBroken(t *testing.T, db *store.DB, tests []spoilt) {
	t.Helper()
	if got := invariants(t, db); len(got) > 0 {
		t.Fatalf("sound: %q", got)
	}
	disarm(t, db)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			tx := db.Raw().Begin()
			defer tx.Rollback()
			for _, statement := range tt.spoil {
				if err := tx.Exec(statement).Error; err != nil {
					t.Fatalf("%s: %v", statement, err)
				}
			}
			found, err := db.ReaderIn(tx).Discrepancies()
			if err != nil {
				t.Fatal(err)
			}
			slices.Sort(tt.want)
			if got := names(t, found); !slices.Equal(got, tt.want) {
				t.Errorf("got  %q\nwant %q", got, tt.want)
			}
		})
	}
	if got := invariants(t, db); len(got) > 0 {
		t.Errorf("after all was undone: %q", got)
	}
}

func move(id int, spool, kind string, mass, cost int) string {
	return fmt.Sprintf("INSERT INTO movements (id, spool, kind, mass, cost, effective_on, effective_at, posted_at, person, reason, source) "+
		"VALUES (%d, '%s', '%s', %d, %d, '2026-03-02', '2026-03-02 12:00:00+00:00', '2026-03-02 12:00:00+00:00', 'x', '', '')", id, spool, kind, mass, cost)
}

func reversal(id int, spool string, mass, cost, of int) string {
	return fmt.Sprintf("INSERT INTO movements (id, spool, kind, mass, cost, effective_on, effective_at, posted_at, person, reason, source, reverses) "+
		"VALUES (%d, '%s', 'reversal', %d, %d, '2026-03-02', '2026-03-02 12:00:00+00:00', '2026-03-02 12:00:00+00:00', 'x', '', '', %d)", id, spool, mass, cost, of)
}

// disarm takes away what keeps the database sound by itself, so that it can be spoilt.
func disarm(t testing.TB, db *store.DB) {
	t.Helper()
	if db.IsSQLite() {
		raw(t, db, "DROP TRIGGER weighings_no_update", "DROP TRIGGER weighings_no_delete", "DROP TRIGGER weighing_shares_no_update",
			"DROP TRIGGER weighing_shares_no_delete", "PRAGMA foreign_keys = off", "PRAGMA ignore_check_constraints = on",
			"DROP TRIGGER movements_no_update", "DROP TRIGGER movements_no_delete", "DROP TRIGGER movements_open_month")
		return
	}
	raw(t, db, `DO $$ DECLARE c record; BEGIN
		FOR c IN SELECT conrelid::regclass AS of, conname FROM pg_constraint WHERE contype IN ('c', 'f') AND conrelid <> 0 LOOP
			EXECUTE format('ALTER TABLE %s DROP CONSTRAINT %I', c.of, c.conname);
		END LOOP; END $$`,
		"ALTER TABLE movements DISABLE TRIGGER USER", "ALTER TABLE weighings DISABLE TRIGGER USER", "ALTER TABLE weighing_shares DISABLE TRIGGER USER")
}
