package password_test

import (
	"context"
	"errors"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/password"
)

// cheap is the least that argon2id takes.
var cheap = password.Cost{Memory: 8, Time: 1, Lanes: 1}

func TestKeptPasswordMatchesItselfOnly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "password")
		other := rapid.String().Draw(t, "other")
		kept, err := cheap.Hash(context.Background(), text)
		if err != nil {
			t.Fatal(err)
		}
		if ok, err := password.Matches(context.Background(), kept, text); !ok || err != nil {
			t.Fatalf("%q does not match itself: %v", text, err)
		}
		if ok, _ := password.Matches(context.Background(), kept, other+"x"+text); ok {
			t.Fatalf("another text matches %q", text)
		}
		if strings.Contains(kept, text) && len(text) > 4 {
			t.Fatalf("%s holds the password", kept)
		}
	})
}

func TestEachHashHasItsOwnSalt(t *testing.T) {
	a, errA := cheap.Hash(t.Context(), "the same words")
	b, errB := cheap.Hash(t.Context(), "the same words")
	if a == b || errA != nil || errB != nil {
		t.Errorf("%s twice, %v, %v", a, errA, errB)
	}
}

// TestComposedAndDecomposedAreTheSame: one keyboard sends é, another e and an accent.
func TestComposedAndDecomposedAreTheSame(t *testing.T) {
	kept, err := cheap.Hash(t.Context(), "caf\u00e9 au lait")
	if err != nil {
		t.Fatal(err)
	}
	if ok, err := password.Matches(t.Context(), kept, "cafe\u0301 au lait"); !ok || err != nil {
		t.Errorf("matches: %v, %v", ok, err)
	}
}

// TestStandardCost is the second recommended option of RFC 9106, section 4.
func TestStandardCost(t *testing.T) {
	kept, err := password.Standard.Hash(t.Context(), "a few words in a row")
	if err != nil || !strings.HasPrefix(kept, "$argon2id$v=19$m=65536,t=3,p=4$") {
		t.Fatal(kept, err)
	}
	if ok, err := password.Matches(t.Context(), kept, "a few words in a row"); !ok || err != nil {
		t.Error(ok, err)
	}
	if password.Standard.Outdated(kept) || !cheap.Outdated(kept) || !password.Standard.Outdated("$argon2id$v=19$m=8") {
		t.Error("outdated is what was made at another cost, and nothing else")
	}
}

// TestCrowdIsRefused: however many come at once, few work and few wait; the rest hears so at once, and nobody waits who has gone away.
func TestCrowdIsRefused(t *testing.T) {
	const crowd = 200
	slow := password.Cost{Memory: 8 << 10, Time: 4, Lanes: 1}
	var wg sync.WaitGroup
	results := make(chan error, crowd)
	for range crowd {
		wg.Go(func() { results <- slow.Spend(t.Context(), "x") })
	}
	wg.Wait()
	close(results)
	served, refused := 0, 0
	for err := range results {
		switch {
		case err == nil:
			served++
		case errors.Is(err, password.ErrCrowded):
			refused++
		default:
			t.Error(err)
		}
	}
	if served == 0 || refused == 0 {
		t.Errorf("%d served, %d refused", served, refused)
	}
}

func TestWeak(t *testing.T) {
	tests := []struct {
		name, password, want string // want: part of the reason; empty where it may be taken
	}{
		{"three words", "kettle violet anchor", ""},
		{"no digit is asked for", "kettlevioletanchor", ""},
		{"ten characters", "gr7-Lx!93q", ""},
		{"other letters", "ключ от мастерской", ""},
		{"generated", "X7K2QJ5M3ABCD4EF", ""},
		{"short", "gr7-Lx!93", "at least 10"},
		{"short in many bytes", "ключключ", "at least 10"},
		{"long", strings.Repeat("kettle violet ", 30), "at most 256"},
		{"control", "kettle\x00violet", "cannot be typed"},
		{"not text", "kettle\xffviolet", "cannot be typed"},
		{"common", "password123", "guessed first"},
		{"common, dressed", "P@ssw0rd!!2026", "guessed first"},
		{"two common words", "AdminPassword1", "guessed first"},
		{"one letter", "aaaaaaaaaaaa", "guessed first"},
		{"a piece again and again", "abcabcabcabc", "guessed first"},
		{"digits in a row", "1234567890", "guessed first"},
		{"digits backwards", "9876543210", "guessed first"},
		{"a row of keys", "qwertyuiop", "guessed first"},
		{"rows of keys", "asdfghjkl1234", "guessed first"},
		{"zigzag", "1q2w3e4r5t", "guessed first"},
		{"the name", "Ines-2026-!", "the name"},
		{"the name twice", "inesines1234", "the name"},
		{"the shop", "thornmere1", "the name"},
		{"the name among other words", "ines likes kettles", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			err := password.Weak(tt.password, "Ines", "Thornmere")
			switch {
			case tt.want == "" && err != nil:
				t.Error(err)
			case tt.want != "" && (err == nil || !strings.Contains(err.Error(), tt.want)):
				t.Errorf("got %v, want %q", err, tt.want)
			}
		})
	}
}

func BenchmarkStandard(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if err := password.Standard.Spend(b.Context(), "a few words in a row"); err != nil {
			b.Fatal(err)
		}
	}
}
