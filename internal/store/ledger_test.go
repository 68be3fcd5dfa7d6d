package store_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

// drawn is a movement of the Monday that takes wire off S-2, which holds 500 g.
func drawn(mass measure.Mass, cost money.Minor) stock.Movement {
	return stock.Movement{Spool: "s-2", Kind: stock.Draw, Mass: mass, Cost: cost, EffectiveOn: monday, PostedAt: noon,
		Person: "ines", Reason: "wound", Source: "batch B1"}
}

func TestPostMovesTheBalance(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		first, second := drawn(-100_001, -565), drawn(-7, 0)
		first.Key = "wound B1"
		write(t, db, func(tx workshop.Tx) error {
			posted, err := tx.Post([]stock.Movement{first, second})
			if err != nil {
				return err
			}
			if posted[0].ID == 0 || posted[1].ID <= posted[0].ID || posted[0].Spool != "S-2" {
				t.Errorf("posted %+v", posted)
			}
			back := stock.Movement{Spool: "S-2", Kind: stock.Reversal, Mass: 7, EffectiveOn: monday, PostedAt: noon, Person: "ines",
				Reason: "mistyped", Reverses: posted[1].ID}
			_, err = tx.Post([]stock.Movement{back})
			return err
		})
		read(t, db, func(r workshop.Reader) error {
			b, err := r.Spool("S-2")
			if err != nil || b.Mass != 399_999 || b.Value != 2260 || b.UsableEnd != 2000 {
				t.Errorf("balance %+v, %v", b, err)
			}
			moves, err := r.Movements("S-2")
			if err != nil || len(moves) != 4 {
				t.Fatalf("%d movements, %v", len(moves), err)
			}
			first.ID, first.Spool = moves[1].ID, "S-2"
			same(t, "movement", first)(moves[1], nil)
			same(t, "movement by key", first)(r.MovementByKey("wound B1"))
			if moves[3].Reverses != moves[2].ID || moves[3].Key != "" {
				t.Errorf("reversal %+v", moves[3])
			}
			return nil
		})
		if got := invariants(t, db); len(got) > 0 {
			t.Errorf("broken: %q", got)
		}
	})
}

func TestPostRefuses(t *testing.T) {
	later := drawn(-1, 0)
	later.EffectiveOn = calendar.NewDate(2026, time.January, 5)
	keyed := drawn(-1, 0)
	keyed.Key = "receipt S-1"
	nowhere := drawn(-1, 0)
	nowhere.Spool = "S-99"
	reversal := func(of stock.MovementID) stock.Movement {
		return stock.Movement{Spool: "S-2", Kind: stock.Reversal, Mass: 0, EffectiveOn: monday, PostedAt: noon, Reverses: of}
	}
	up := drawn(1, 0)
	up.Kind = stock.CountDifference
	gift := drawn(-1, 0)
	gift.Kind = "gift"
	undated := drawn(-1, 0)
	undated.EffectiveOn = 0
	emptied := drawn(-1_000_000, 0)
	emptied.Spool = "S-1"
	tests := []struct {
		name  string
		moves []stock.Movement
		want  error
		says  string
	}{
		{"more than there is", []stock.Movement{drawn(-500_001, 0)}, stock.ErrNegative, "S-2"},
		{"more than there is after another", []stock.Movement{drawn(-400_000, -2000), drawn(-100_001, 0)}, stock.ErrNegative, "S-2"},
		{"less than nothing for a moment", []stock.Movement{drawn(-500_001, 0), up, up}, stock.ErrNegative, "S-2"},
		{"more than received", []stock.Movement{up}, stock.ErrTooMuch, "S-2"},
		{"allocated", []stock.Movement{drawn(-490_000, -1000)}, stock.ErrBelow, "S-2"},
		{"key taken", []stock.Movement{keyed}, workshop.ErrExists, ""},
		{"closed month", []stock.Movement{drawn(-1, 0), later}, workshop.ErrClosed, "2026-01"},
		{"no such spool", []stock.Movement{nowhere}, workshop.ErrNotFound, "S-99"},
		{"reversal of nothing", []stock.Movement{reversal(0)}, store.ErrRule, ""},
		{"reversal of what is not there", []stock.Movement{reversal(999)}, store.ErrRefers, ""},
		{"reversed twice", []stock.Movement{reversal(1), reversal(1)}, workshop.ErrExists, ""},
		{"unknown kind", []stock.Movement{gift}, store.ErrRule, ""},
		{"no date", []stock.Movement{undated}, store.ErrRule, "s-2"},
		{"cost of more than the lot", []stock.Movement{drawn(-1, 1)}, store.ErrRule, "S-2"},
		{"cost left on an empty spool", []stock.Movement{emptied}, store.ErrRule, "S-1"},
		{"all that is free", []stock.Movement{drawn(-480_000, -1)}, nil, ""},
	}
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		write(t, db, func(tx workshop.Tx) error { return tx.Allocate("S-2", 20_000) })
		raw(t, db, "INSERT INTO periods (month, closed_at, closed_by, figures_hash) VALUES ('2026-01', '2026-03-02 13:00:00+00:00', 'bo', 'x')")
		before := answered(t, db, workshop.Reader.Spools)
		for _, tt := range tests {
			t.Run(tt.name, func(t *testing.T) {
				undo := errors.New("undo")
				err := db.InTx(t.Context(), func(tx workshop.Tx) error {
					if _, err := tx.Post(tt.moves); err != nil {
						return err
					}
					return undo
				})
				if tt.want == nil {
					tt.want = undo
				}
				if !errors.Is(err, tt.want) || !strings.Contains(err.Error(), tt.says) {
					t.Errorf("got %v, want %v naming %q", err, tt.want, tt.says)
				}
			})
		}
		same(t, "balances after refusals", before)(answered(t, db, workshop.Reader.Spools), nil)
	})
}

// What the database itself refuses, whoever asks.
func TestTheDatabaseRefuses(t *testing.T) {
	tests := []struct {
		name, statement, says string
	}{
		{"change a movement", "UPDATE movements SET mass = 0 WHERE spool = 'S-1'", "append only: a movement is never"},
		{"delete a movement", "DELETE FROM movements WHERE spool = 'S-1'", "append only: a movement is never"},
		{"empty the ledger", "TRUNCATE movements CASCADE", "append only: a movement is never"},
		{"change the audit", "UPDATE audit SET person = 'x'", "append only: an audit entry is never"},
		{"delete the audit", "DELETE FROM audit", "append only: an audit entry is never"},
		{"empty the audit", "TRUNCATE audit", "append only: an audit entry is never"},
		{"post into a closed month", strings.Replace(move(90, "S-2", "draw", -1, 0), "2026-03-02", "2026-01-02", 1), "closed month: "},
		{"below nothing", "UPDATE spools SET mass = -1 WHERE code = 'S-1'", ""},
		{"above what was received", "UPDATE spools SET mass = gross - tare + 1 WHERE code = 'S-1'", ""},
		{"allocate too much", "UPDATE spools SET allocated = mass + 1 WHERE code = 'S-1'", ""},
		{"weightless spool", "UPDATE spools SET tare = gross WHERE code = 'S-1'", ""},
		{"a draw that adds", move(90, "S-2", "draw", 1, 0), ""},
		{"a code in another case", "INSERT INTO sets (code) VALUES ('HARBOUR-2')", ""},
		{"a wire that is not there", "UPDATE spools SET wire = 'none' WHERE code = 'S-1'", ""},
	}
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		write(t, db, func(tx workshop.Tx) error {
			return tx.Record(workshop.AuditEntry{At: noon, Person: "ines", Action: "import"})
		})
		raw(t, db, "INSERT INTO periods (month, closed_at, closed_by, figures_hash) VALUES ('2026-01', '2026-03-02 13:00:00+00:00', 'bo', 'x')")
		for _, tt := range tests {
			if db.IsSQLite() && strings.HasPrefix(tt.statement, "TRUNCATE") {
				continue // SQLite has no such statement
			}
			t.Run(tt.name, func(t *testing.T) {
				err := db.Raw().Exec(tt.statement).Error
				if err == nil || !strings.Contains(err.Error(), tt.says) {
					t.Errorf("got %v, want a refusal saying %q", err, tt.says)
				}
			})
		}
	})
}

func TestAllocate(t *testing.T) {
	tests := []struct {
		name string
		code stock.SpoolCode
		mass measure.Mass
		want error
	}{
		{"all of it", "s-3", 300_000, nil},
		{"too much", "S-3", 300_001, workshop.ErrShort},
		{"free what is not allocated", "S-3", -1, stock.ErrNegative},
		{"no such spool", "S-99", 1, workshop.ErrNotFound},
	}
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		for _, tt := range tests {
			t.Run(tt.name, func(t *testing.T) {
				err := db.InTx(t.Context(), func(tx workshop.Tx) error {
					if err := tx.Allocate(tt.code, tt.mass); err != nil {
						return err
					}
					b, err := tx.Spool(tt.code)
					if b.Allocated != tt.mass || b.Free() != b.Mass-tt.mass {
						t.Errorf("allocated %s, free %s", b.Allocated, b.Free())
					}
					return errors.Join(err, tx.Allocate(tt.code, -tt.mass))
				})
				if !errors.Is(err, tt.want) {
					t.Errorf("got %v, want %v", err, tt.want)
				}
			})
		}
	})
}

func TestSpoolsAt(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		write(t, db, func(tx workshop.Tx) error {
			_, err := tx.Post([]stock.Movement{drawn(-1000, -6)})
			return errors.Join(err, tx.Allocate("S-2", 5))
		})
		for _, tt := range []struct {
			date  calendar.Date
			mass  []measure.Mass
			value money.Minor // of all
		}{
			{monday - 31, nil, 0}, // nothing was received yet
			{monday - 30, []measure.Mass{1000000, 500000}, 10226},
			{monday - 1, []measure.Mass{1000000, 500000, 300000}, 10226},
			{monday, []measure.Mass{1000000, 499000, 300000}, 10220},
		} {
			var mass []measure.Mass
			var value money.Minor
			for _, b := range answered(t, db, func(r workshop.Reader) ([]stock.Balance, error) { return r.SpoolsAt(tt.date) }) {
				mass, value = append(mass, b.Mass), value+b.Value
				if b.Allocated != 0 || b.UsableEnd != wires[slices.IndexFunc(spools, func(s stock.Spool) bool { return s.Code == b.Code })].UsableEnd {
					t.Errorf("%s: %+v", tt.date, b)
				}
			}
			if !slices.Equal(mass, tt.mass) || value != tt.value {
				t.Errorf("%s: %v at %d, want %v at %d", tt.date, mass, value, tt.mass, tt.value)
			}
		}
	})
}
