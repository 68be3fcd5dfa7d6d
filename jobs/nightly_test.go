package jobs

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

func asJobs(t testing.TB) context.Context { return workshop.WithPerson(t.Context(), Person) }

func TestNightlyCheckAndItsDigest(t *testing.T) {
	shop, day := testkit.ScenarioShop(t), testkit.Day(t)
	ctx := asJobs(t)
	var said []string
	var failure error
	digest := Digest(shop, []Channel{{"mail", func(_ context.Context, n workshop.NightReport) error {
		said = append(said, n.Digest())
		return failure
	}}})
	if _, err := digest.Do(ctx, day); !errors.Is(err, workshop.ErrNotFound) || len(said) > 0 {
		t.Errorf("before the check: %v, said %d times", err, len(said))
	}
	found, err := NightlyCheck(shop).Do(ctx, day)
	if err != nil || !strings.Contains(found, "42 wires") {
		t.Fatalf("found %q, %v", found, err)
	}

	failure = errors.New("connection refused")
	if _, err := digest.Do(ctx, day); err == nil || !strings.Contains(err.Error(), "mail: connection refused") {
		t.Errorf("a failure is %v", err)
	}
	failure = nil
	for _, want := range []string{"sent by mail", "nothing left to send"} { // again where it surely did not leave, and then never
		if found, err := digest.Do(ctx, day); err != nil || found != want {
			t.Errorf("found %q, %v, want %q", found, err, want)
		}
	}
	if _, err := NightlyCheck(shop).Do(ctx, day); err != nil {
		t.Fatal(err)
	}
	if _, err := digest.Do(ctx, day); err != nil || len(said) != 2 {
		t.Errorf("after the check ran again it was said %d times, %v", len(said), err)
	}
	for _, part := range []string{"night of 2026-03-02: 42 wires", "From ashdell, order at once, ", "Alerts:\n", "Orders at risk:\n", "EUR"} {
		if !strings.Contains(said[0], part) {
			t.Errorf("%q is not in\n%s", part, said[0])
		}
	}
}

func TestDigestWhoseArrivalIsNotKnownIsNotRepeated(t *testing.T) {
	shop, day := testkit.Shop(t), testkit.Day(t)
	ctx := asJobs(t)
	if _, err := NightlyCheck(shop).Do(ctx, day); err != nil {
		t.Fatal(err)
	}
	times := 0
	digest := Digest(shop, []Channel{{"mail", func(context.Context, workshop.NightReport) error {
		times++
		return errors.Join(errors.New("timeout after the last byte"), workshop.ErrUnsure)
	}}, {"webhook", func(context.Context, workshop.NightReport) error { return nil }}})
	found, err := digest.Do(ctx, day)
	if !errors.Is(err, workshop.ErrUnsure) || found != "sent by webhook" {
		t.Errorf("found %q, %v", found, err)
	}
	if _, err := digest.Do(ctx, day); err != nil || times != 1 {
		t.Errorf("sent %d times, %v", times, err)
	}
}

func TestBackupJob(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "backups")
	b := Backups{Dir: dir, Keep: 3,
		Write: func(_ context.Context, path string) error { return os.WriteFile(path, []byte(path), 0o600) },
		Check: func(context.Context, string) ([]workshop.Discrepancy, error) { return nil, nil }}
	monday := calendar.NewDate(2026, 3, 2)
	for day := monday; day < monday+5; day++ {
		if _, err := Backup(b).Do(t.Context(), day); err != nil {
			t.Fatal(err)
		}
		if day == monday {
			for _, name := range []string{"windingroom-old.db", "letter.txt", "windingroom-2026-01-01.db.part"} {
				if err := os.WriteFile(filepath.Join(dir, name), nil, 0o600); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	there := func() (names []string) {
		entries, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			names = append(names, e.Name())
		}
		return names
	}
	want := []string{"letter.txt", "windingroom-2026-03-04.db", "windingroom-2026-03-05.db", "windingroom-2026-03-06.db", "windingroom-old.db"}
	if got := there(); !slices.Equal(got, want) {
		t.Errorf("kept %q, want %q", got, want)
	}
	b.Check = func(context.Context, string) ([]workshop.Discrepancy, error) {
		return []workshop.Discrepancy{{Invariant: "balance", Subject: "S-1", Detail: "5 g missing"}}, nil
	}
	if _, err := Backup(b).Do(t.Context(), monday+5); err == nil || !strings.Contains(err.Error(), "5 g missing") {
		t.Errorf("an unsound backup: %v", err)
	}
	if got := there(); len(got) != len(want)+1 {
		t.Errorf("after an unsound one, which removes none: %q", got)
	}
}

func TestTidyForgetsOldAnswers(t *testing.T) {
	shop := testkit.Shop(t)
	now := shop.Now()
	for key, days := range map[string]int{"old": 31, "new": 29} {
		shop.Now = func() time.Time { return now.AddDate(0, 0, -days) }
		if err := shop.KeepAnswer(testkit.As(t.Context(), workshop.Lead), workshop.KeptAnswer{Key: key, RequestHash: []byte{1}, Status: 200}); err != nil {
			t.Fatal(err)
		}
	}
	shop.Now = func() time.Time { return now }
	if found, err := Tidy(shop).Do(asJobs(t), testkit.Day(t)); err != nil || found != "1 kept answers, 0 sessions, 0 tries to sign in forgotten" {
		t.Errorf("found %q, %v", found, err)
	}
	if _, err := shop.KeptAnswer(testkit.As(t.Context(), workshop.Lead), "new"); err != nil {
		t.Errorf("the new one: %v", err)
	}
}
