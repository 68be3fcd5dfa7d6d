package workshop_test

import (
	"context"
	"errors"
	"strings"
	"sync"
	"testing"
	"time"

	"windingroom/internal/password"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

const fresh = "harbour seven lantern"

// house is a shop with a clock that can be moved.
type house struct {
	t    *testing.T
	shop *workshop.Shop
	now  time.Time
}

func newHouse(t *testing.T) *house {
	t.Helper()
	h := &house{t: t, shop: testkit.Shop(t), now: testkit.Morning(t)}
	h.shop.Now = func() time.Time { return h.now }
	return h
}

func (h *house) owner() context.Context { return testkit.As(h.t.Context(), workshop.Owner) }

func (h *house) signIn(name, secret string) (string, error) {
	token, _, err := h.shop.SignIn(h.t.Context(), workshop.Credentials{Name: name, Password: secret, Address: "10.0.0.7", Via: "page"})
	return token, err
}

// in signs in and must succeed.
func (h *house) in(name, secret string) string {
	h.t.Helper()
	token, err := h.signIn(name, secret)
	if err != nil {
		h.t.Fatalf("%s cannot sign in: %v", name, err)
	}
	return token
}

// gone checks that a session's token is nobody's any more.
func (h *house) gone(what, token string) {
	h.t.Helper()
	if p, err := h.shop.PersonOf(h.t.Context(), token, "page"); !errors.Is(err, workshop.ErrUnknownPerson) {
		h.t.Errorf("%s: the session is still %v's, %v", what, p, err)
	}
}

func TestPersonSignsInUnderTheirName(t *testing.T) {
	h := newHouse(t)
	if err := h.shop.AddPerson(h.owner(), "  Élan Quill ", workshop.Lead, fresh); err != nil {
		t.Fatal(err)
	}
	token := h.in("e\u0301lan quill", fresh) // no case, and the accent as another keyboard sends it
	p, err := h.shop.PersonOf(t.Context(), token, "page")
	if want := (workshop.Person{Name: "Élan Quill", Role: workshop.Lead, Via: "page"}); p != want || err != nil {
		t.Errorf("signed in as %+v, %v", p, err)
	}
	if other := h.in("Élan Quill", fresh); other == token {
		t.Error("two sessions have one token")
	}
	if err := h.shop.AddPerson(h.owner(), "ÉLAN QUILL", workshop.Winder, fresh); !errors.Is(err, workshop.ErrExists) {
		t.Errorf("a name twice: %v", err)
	}
	entries, _, err := h.shop.Audit(h.owner(), workshop.AuditQuery{Most: 9, Person: "Élan QUILL"})
	if err != nil || len(entries) == 0 || entries[0].Action != "sign in" || entries[0].Source != "page" || entries[0].Detail != "from 10.0.0.7" {
		t.Errorf("the audit says %+v, %v", entries, err)
	}
}

func TestWhatAPersonNeeds(t *testing.T) {
	h := newHouse(t)
	tests := []struct {
		name, person, role, secret, want string
	}{
		{"no name", " ", "lead", fresh, "name"},
		{"long name", strings.Repeat("a", 65), "lead", fresh, "name"},
		{"two lines", "a\nb", "lead", fresh, "name"},
		{"no role", "Ada", "boss", fresh, "role"},
		{"weak password", "Ada", "lead", "password12", "password"},
		{"the name as password", "Adalbert Quill", "lead", "adalbertquill", "password"},
		{"the shop as password", "Ada", "lead", "thornmere string works", "password"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			err := h.shop.AddPerson(h.owner(), tt.person, workshop.Role(tt.role), tt.secret)
			if err == nil || !strings.Contains(err.Error(), tt.want) || strings.Contains(err.Error(), tt.secret) {
				t.Errorf("got %v, want it to name %s", err, tt.want)
			}
		})
	}
}

func TestOnlyAnOwnerManagesPeople(t *testing.T) {
	h := newHouse(t)
	name := testkit.Person(t, h.shop, workshop.Winder)
	for _, role := range []workshop.Role{workshop.Lead, workshop.Winder, workshop.Bookkeeper} {
		ctx := testkit.As(t.Context(), role)
		_, people := h.shop.People(ctx)
		_, tokens := h.shop.Tokens(ctx)
		_, token := h.shop.AddToken(ctx, "x", workshop.Owner)
		for what, err := range map[string]error{
			"list": people, "add": h.shop.AddPerson(ctx, "x", workshop.Owner, fresh), "role": h.shop.ChangeRole(ctx, name, workshop.Owner),
			"password": h.shop.SetPassword(ctx, name, fresh), "off": h.shop.TurnOff(ctx, name), "on": h.shop.TurnOn(ctx, name),
			"tokens": tokens, "make a token": token, "revoke": h.shop.RevokeToken(ctx, "x"),
		} {
			if !errors.Is(err, workshop.ErrForbidden) || !strings.Contains(err.Error(), "needs the role owner") {
				t.Errorf("%s as %s: %v", what, role, err)
			}
		}
		_, _, audit := h.shop.Audit(ctx, workshop.AuditQuery{Most: 1})
		if may := role == workshop.Bookkeeper; (audit == nil) != may {
			t.Errorf("audit as %s: %v", role, audit)
		}
	}
	if err := h.shop.AddPerson(t.Context(), "x", workshop.Owner, fresh); !errors.Is(err, workshop.ErrUnknownPerson) {
		t.Errorf("nobody adds a person: %v", err)
	}
}

func TestLastOwnerStays(t *testing.T) {
	h := newHouse(t)
	for _, name := range []string{"Ada", "Bert"} {
		if err := h.shop.AddPerson(h.owner(), name, workshop.Owner, fresh); err != nil {
			t.Fatal(err)
		}
	}
	if err := h.shop.ChangeRole(h.owner(), "Ada", workshop.Lead); err != nil {
		t.Fatal(err)
	}
	for what, err := range map[string]error{"demoted": h.shop.ChangeRole(h.owner(), "bert", workshop.Winder), "turned off": h.shop.TurnOff(h.owner(), "bert")} {
		if !errors.Is(err, workshop.ErrLastOwner) {
			t.Errorf("the last owner is %s: %v", what, err)
		}
	}
	h.in("Bert", fresh) // nothing of it was kept
	if owned, err := h.shop.HasOwner(t.Context()); !owned || err != nil {
		t.Error(owned, err)
	}
	if err := errors.Join(h.shop.ChangeRole(h.owner(), "Ada", workshop.Owner), h.shop.TurnOff(h.owner(), "Bert")); err != nil {
		t.Error(err)
	}
	// Someone who is off does not count as an owner.
	if err := h.shop.TurnOff(h.owner(), "Ada"); !errors.Is(err, workshop.ErrLastOwner) {
		t.Errorf("the other one is off: %v", err)
	}
}

// TestSessionsEnd goes through everything that ends a session.
func TestSessionsEnd(t *testing.T) {
	tests := []struct {
		name string
		end  func(h *house, token string) error
	}{
		{"sign out", func(h *house, token string) error { return h.shop.SignOut(h.t.Context(), token) }},
		{"everywhere", func(h *house, _ string) error {
			_, err := h.shop.SignOutEverywhere(workshop.WithPerson(h.t.Context(), workshop.Person{Name: "TEST LEAD", Role: workshop.Lead}))
			return err
		}},
		{"turned off", func(h *house, _ string) error { return h.shop.TurnOff(h.owner(), "test lead") }},
		{"new password", func(h *house, _ string) error { return h.shop.SetPassword(h.owner(), "test lead", fresh) }},
		{"own new password", func(h *house, _ string) error {
			token, err := h.shop.ChangeOwnPassword(testkit.As(h.t.Context(), workshop.Lead), testkit.Password, fresh, "10.0.0.8")
			if _, e := h.shop.PersonOf(h.t.Context(), token, "page"); e != nil {
				h.t.Errorf("the new session: %v", e)
			}
			return err
		}},
		{"idle", func(h *house, _ string) error { h.now = h.now.Add(workshop.SessionIdle); return nil }},
		{"a day's work", func(h *house, token string) error {
			for end := h.now.Add(workshop.SessionLife); h.now.Before(end); h.now = h.now.Add(time.Hour) {
				if _, err := h.shop.PersonOf(h.t.Context(), token, "page"); err != nil {
					h.t.Fatalf("ended at %s: %v", h.now, err)
				}
			}
			return nil
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			h := newHouse(t)
			token := h.in(testkit.Person(t, h.shop, workshop.Lead), testkit.Password)
			if err := tt.end(h, token); err != nil {
				t.Fatal(err)
			}
			h.gone(tt.name, token)
		})
	}
}

func TestForgettingLeavesWhatGoesOn(t *testing.T) {
	h := newHouse(t)
	name := testkit.Person(t, h.shop, workshop.Lead)
	h.in(name, testkit.Password)
	if _, err := h.signIn("nobody", "x"); !errors.Is(err, workshop.ErrSignIn) {
		t.Fatal(err)
	}
	h.now = h.now.Add(workshop.SessionIdle)
	going := h.in(name, testkit.Password)
	sessions, tries, err := h.shop.ForgetSessions(h.owner())
	if sessions != 1 || tries < 1 || err != nil {
		t.Errorf("forgot %d sessions and %d tries, %v", sessions, tries, err)
	}
	own, err := h.shop.OwnSessions(testkit.As(t.Context(), workshop.Lead))
	if _, e := h.shop.PersonOf(t.Context(), going, "page"); len(own) != 1 || own[0].Address != "10.0.0.7" || err != nil || e != nil {
		t.Errorf("%d sessions go on, %v, %v", len(own), err, e)
	}
}

// TestRoleChangesAtOnce: a session has no role of its own.
func TestRoleChangesAtOnce(t *testing.T) {
	h := newHouse(t)
	token := h.in(testkit.Person(t, h.shop, workshop.Lead), testkit.Password)
	if err := h.shop.ChangeRole(h.owner(), "test lead", workshop.Winder); err != nil {
		t.Fatal(err)
	}
	if p, err := h.shop.PersonOf(t.Context(), token, "page"); p.Role != workshop.Winder || err != nil {
		t.Errorf("still %s, %v", p.Role, err)
	}
}

func TestWhoIsOffStaysOut(t *testing.T) {
	h := newHouse(t)
	name := testkit.Person(t, h.shop, workshop.Lead)
	token, err := h.shop.AddToken(h.owner(), name, workshop.Lead)
	if err != nil {
		t.Fatal(err)
	}
	if err := h.shop.TurnOff(h.owner(), name); err != nil {
		t.Fatal(err)
	}
	if _, err := h.signIn(name, testkit.Password); !errors.Is(err, workshop.ErrSignIn) {
		t.Errorf("signs in: %v", err)
	}
	if _, err := h.shop.Bearer(t.Context(), token); !errors.Is(err, workshop.ErrUnknownPerson) {
		t.Errorf("the token that acts as them holds: %v", err)
	}
	if err := h.shop.TurnOff(h.owner(), name); !errors.Is(err, workshop.ErrStage) {
		t.Errorf("off again: %v", err)
	}
	if err := h.shop.TurnOn(h.owner(), name); err != nil {
		t.Fatal(err)
	}
	h.in(name, testkit.Password)
}

func TestPasswordIsKeptAnewWhenItsCostChanged(t *testing.T) {
	h := newHouse(t)
	name := testkit.Person(t, h.shop, workshop.Lead)
	kept := func() string {
		var m workshop.Member
		if err := h.shop.Store.Read(t.Context(), func(r workshop.Reader) (err error) { m, err = r.Member(name); return err }); err != nil {
			t.Fatal(err)
		}
		return m.Password
	}
	before := kept()
	h.in(name, testkit.Password)
	if kept() != before {
		t.Error("kept anew although nothing changed")
	}
	h.shop.Passwords = password.Cost{Memory: 16, Time: 1, Lanes: 1}
	h.in(name, testkit.Password)
	if after := kept(); !strings.Contains(after, "m=16,") {
		t.Errorf("still kept as %s", after)
	}
	h.in(name, testkit.Password)
}

// TestTriesAreSlowed counts by name, whether it exists or not, and never locks out for ever.
func TestTriesAreSlowed(t *testing.T) {
	for _, name := range []string{"test lead", "nobody at all"} {
		t.Run(name, func(t *testing.T) {
			h := newHouse(t)
			testkit.Person(t, h.shop, workshop.Lead)
			var waits []time.Duration
			for range 19 {
				_, err := h.signIn(name, "wrong words here")
				if slowed := (workshop.Slowed{}); errors.As(err, &slowed) {
					waits = append(waits, slowed.Wait)
					if _, err := h.signIn(name, testkit.Password); !errors.Is(err, workshop.ErrSlowed) {
						t.Fatalf("the right password too early: %v", err)
					}
					h.now = h.now.Add(slowed.Wait)
					_, err = h.signIn(name, "wrong words here")
				}
				if !errors.Is(err, workshop.ErrSignIn) {
					t.Fatal(err)
				}
			}
			if len(waits) != 9 || waits[0] != time.Second || waits[1] != 2*time.Second || waits[8] != 2*time.Minute {
				t.Errorf("waited %v", waits)
			}
			h.now = h.now.Add(2 * time.Minute)
			if name == "test lead" {
				h.in(name, testkit.Password) // refused tries did not count
				h.in(name, testkit.Password) // and the right password forgets the wrong ones
			}
		})
	}
}

// TestAddressIsSlowed: one who tries a few passwords for many names is slowed by the address, and their own password does not help.
func TestAddressIsSlowed(t *testing.T) {
	h := newHouse(t)
	name := testkit.Person(t, h.shop, workshop.Lead)
	for i := range 50 {
		if _, err := h.signIn(strings.Repeat("n", i+1), "x"); !errors.Is(err, workshop.ErrSignIn) {
			t.Fatal(i, err)
		}
		h.in2(name, i)
	}
	if _, err := h.signIn("yet another", "x"); !errors.Is(err, workshop.ErrSlowed) {
		t.Errorf("the address is not slowed: %v", err)
	}
	if _, _, err := h.shop.SignIn(t.Context(), workshop.Credentials{Name: name, Password: testkit.Password, Address: "10.0.0.8"}); err != nil {
		t.Errorf("another address is slowed: %v", err)
	}
	h.now = h.now.Add(10 * time.Minute) // one failure is forgotten
	if _, err := h.signIn("yet another", "x"); !errors.Is(err, workshop.ErrSignIn) {
		t.Errorf("slowed for ever: %v", err)
	}
}

// in2 signs in with the right password in between, while that is still free.
func (h *house) in2(name string, failed int) {
	h.t.Helper()
	if failed < 49 {
		h.in(name, testkit.Password)
	}
}

// TestNetworkOfVersionSixCountsAsOne, since whoever has one address of it has 2^64.
func TestNetworkOfVersionSixCountsAsOne(t *testing.T) {
	h := newHouse(t)
	try := func(i int, address string) error {
		_, _, err := h.shop.SignIn(t.Context(), workshop.Credentials{Name: strings.Repeat("n", i+1), Password: "x", Address: address})
		return err
	}
	for i := range 50 {
		if err := try(i, "2001:db8::"+string(rune('a'+i%6))); !errors.Is(err, workshop.ErrSignIn) {
			t.Fatal(err)
		}
	}
	if err := try(50, "2001:db8::ffff"); !errors.Is(err, workshop.ErrSlowed) {
		t.Errorf("the network is not slowed: %v", err)
	}
	if err := try(51, "2001:db8:0:1::1"); !errors.Is(err, workshop.ErrSignIn) {
		t.Errorf("another network is: %v", err)
	}
}

// TestManyTriesAtOnceAreNotFree: they are counted before they are made.
func TestManyTriesAtOnceAreNotFree(t *testing.T) {
	h := newHouse(t)
	name := testkit.Person(t, h.shop, workshop.Lead)
	var wg sync.WaitGroup
	var mu sync.Mutex
	compared := 0
	for range 40 {
		wg.Go(func() {
			_, err := h.signIn(name, "wrong words here")
			mu.Lock()
			defer mu.Unlock()
			if errors.Is(err, workshop.ErrSignIn) {
				compared++
			}
		})
	}
	wg.Wait()
	if compared > 10 { // those that are free
		t.Errorf("%d tries were compared", compared)
	}
	entries, _, err := h.shop.Audit(h.owner(), workshop.AuditQuery{Most: 50, Subject: name})
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if strings.Contains(e.Detail, "wrong words") {
			t.Errorf("the audit holds a password: %+v", e)
		}
	}
}

func TestGuessingIsNoted(t *testing.T) {
	h := newHouse(t)
	name := testkit.Person(t, h.shop, workshop.Lead)
	for range 11 {
		if _, err := h.signIn(name, "wrong words here"); !errors.Is(err, workshop.ErrSignIn) {
			t.Fatal(err)
		}
		h.now = h.now.Add(time.Second)
	}
	entries, _, err := h.shop.Audit(h.owner(), workshop.AuditQuery{Most: 1})
	if err != nil || len(entries) != 1 || entries[0].Action != "wrong passwords" || entries[0].Subject != name {
		t.Errorf("%+v, %v", entries, err)
	}
}

func TestOwnPasswordNeedsThePresentOne(t *testing.T) {
	h := newHouse(t)
	name := testkit.Person(t, h.shop, workshop.Lead)
	ctx := testkit.As(t.Context(), workshop.Lead)
	if _, err := h.shop.ChangeOwnPassword(ctx, "wrong words here", fresh, "10.0.0.7"); !errors.Is(err, workshop.ErrSignIn) {
		t.Errorf("with a wrong one: %v", err)
	}
	if _, err := h.shop.ChangeOwnPassword(ctx, testkit.Password, "short", "10.0.0.7"); err == nil {
		t.Error("a weak one is taken")
	}
	if _, err := h.shop.ChangeOwnPassword(ctx, testkit.Password, fresh, "10.0.0.7"); err != nil {
		t.Fatal(err)
	}
	if _, err := h.signIn(name, testkit.Password); !errors.Is(err, workshop.ErrSignIn) {
		t.Errorf("the old one still opens: %v", err)
	}
	h.in(name, fresh)
}

func TestTokensAreListedUsedAndRevoked(t *testing.T) {
	h := newHouse(t)
	token, err := h.shop.AddToken(h.owner(), "scale", workshop.Winder)
	if err != nil {
		t.Fatal(err)
	}
	for range 3 {
		if _, err := h.shop.Bearer(t.Context(), token); err != nil {
			t.Fatal(err)
		}
	}
	list, err := h.shop.Tokens(h.owner())
	if err != nil || len(list) != 1 || !list[0].UsedAt.Equal(h.now) || list[0].Hash != nil {
		t.Errorf("%+v, %v", list, err)
	}
	if err := h.shop.RevokeToken(h.owner(), "Scale"); err != nil {
		t.Fatal(err)
	}
	if _, err := h.shop.Bearer(t.Context(), token); !errors.Is(err, workshop.ErrUnknownPerson) {
		t.Errorf("a revoked token: %v", err)
	}
	if _, err := h.shop.AddToken(h.owner(), "SCALE", workshop.Winder); !errors.Is(err, workshop.ErrExists) {
		t.Errorf("its name again: %v", err)
	}
}
