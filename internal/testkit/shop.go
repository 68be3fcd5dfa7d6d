package testkit

import (
	"context"
	"errors"
	"path/filepath"
	"testing"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/password"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
	"windingroom/testdata/scenario"
)

// Morning is when tests take place: half past six on the invented scenario's day, in UTC.
func Morning(t testing.TB) time.Time {
	t.Helper()
	return Day(t).Time().Add(6*time.Hour + 30*time.Minute)
}

// Day is the invented scenario's day.
func Day(t testing.TB) calendar.Date {
	t.Helper()
	d, err := calendar.ParseDate(scenario.Day)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// Shop opens an empty shop on a fresh SQLite database in a folder of the test. Its clock stands still at Morning.
func Shop(t testing.TB) *workshop.Shop {
	t.Helper()
	db, err := store.Open(t.Context(), "sqlite:"+filepath.Join(t.TempDir(), "shop.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := db.Close(); err != nil {
			t.Error(err)
		}
	})
	if _, _, err := db.Migrate(t.Context()); err != nil {
		t.Fatal(err)
	}
	now := Morning(t)
	return &workshop.Shop{Store: db, Name: scenario.Shop, Now: func() time.Time { return now }, Zone: time.UTC, Opens: 6 * time.Hour, Passwords: Cheap}
}

// ScenarioShop opens a shop that holds the invented scenario.
func ScenarioShop(t testing.TB) *workshop.Shop {
	t.Helper()
	shop := Shop(t)
	if _, err := shop.Import(As(t.Context(), workshop.Owner), scenario.Files, false); err != nil {
		t.Fatal(err)
	}
	return shop
}

// As lets a person of a role act; the person is named after the role.
func As(ctx context.Context, role workshop.Role) context.Context {
	return workshop.WithPerson(ctx, workshop.Person{Name: "test " + string(role), Role: role})
}

// Cheap is what keeping a password costs in tests that are not about it.
var Cheap = password.Cost{Memory: 8, Time: 1, Lanes: 1}

// Password is that of every person made by Person.
const Password = "kettle violet anchor"

// Person adds a person of a role who can sign in with Password, and gives their name.
func Person(t testing.TB, shop *workshop.Shop, role workshop.Role) string {
	t.Helper()
	name := "test " + string(role)
	if err := shop.AddPerson(As(t.Context(), workshop.Owner), name, role, Password); err != nil && !errors.Is(err, workshop.ErrExists) {
		t.Fatal(err)
	}
	return name
}

// Token makes a bearer token that carries a role. It was used once, so that it is not noted again while the clock stands still.
func Token(t testing.TB, shop *workshop.Shop, role workshop.Role) string {
	t.Helper()
	token, err := shop.AddToken(As(t.Context(), workshop.Owner), "token of "+string(role), role)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := shop.Bearer(t.Context(), token); err != nil {
		t.Fatal(err)
	}
	return token
}
