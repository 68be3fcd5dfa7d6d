package api_test

import (
	"strings"
	"testing"

	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

func TestIdempotency(t *testing.T) {
	const proposal, release = "/days/2026-03-02/proposal", "/days/2026-03-02/release"
	key := func(k string) map[string]string { return map[string]string{"Idempotency-Key": k} }
	d := newDesk(t, testkit.Shop(t))
	first := d.do(request{workshop.Lead, "POST", proposal, "", key("a")})
	if first.Code != 200 || first.Header().Get("Idempotent-Replay") != "" {
		t.Fatalf("first: %d, %s", first.Code, first.Body)
	}

	again := d.do(request{workshop.Lead, "POST", proposal, "", key("a")})
	if again.Code != 200 || again.Body.String() != first.Body.String() {
		t.Errorf("again: %d, another body", again.Code)
	}
	if again.Header().Get("Idempotent-Replay") != "true" || again.Header().Get("Content-Type") != first.Header().Get("Content-Type") {
		t.Errorf("again: headers %v, first %v", again.Header(), first.Header())
	}

	tests := []struct {
		name       string
		request    request
		wantStatus int
		wantReplay bool
		wantHas    string
	}{
		{"the key on another address", request{workshop.Lead, "POST", release, "", key("a")}, 422, false, "/problems/key-reused"},
		{"the key with another body", request{workshop.Lead, "POST", proposal, "{}", key("a")}, 422, false, "/problems/key-reused"},
		{"another person's same key", request{workshop.Owner, "POST", proposal, "", key("a")}, 200, false, `"released":false`},
		{"nobody with the key", request{"", "POST", proposal, "", key("a")}, 401, false, "sign-in-needed"},
		{"a key with a space", request{workshop.Lead, "POST", proposal, "", key("a b")}, 422, false, "header.Idempotency-Key"},
		{"a key too long", request{workshop.Lead, "POST", proposal, "", key(strings.Repeat("k", 256))}, 422, false, "header.Idempotency-Key"},
		{"the longest key", request{workshop.Lead, "POST", proposal, "", key(strings.Repeat("k", 255))}, 200, false, `"released":false`},
		{"too early", request{workshop.Lead, "POST", "/days/2026-03-03/release", "", key("b")}, 404, false, "no plan for"},
		{"in between", request{workshop.Lead, "POST", "/days/2026-03-03/proposal", "", nil}, 200, false, `"released":false`},
		{"a refusal that time mends is not kept", request{workshop.Lead, "POST", "/days/2026-03-03/release", "", key("b")}, 200, false, `"released":true`},
		{"what was done is kept", request{workshop.Lead, "POST", "/days/2026-03-03/release", "", key("b")}, 200, true, `"released":true`},
		{"no date", request{workshop.Lead, "POST", "/days/never/release", "", key("c")}, 422, false, "path.date"},
		{"its key stays free for a corrected one", request{workshop.Lead, "POST", "/days/2026-03-04/proposal", "", key("c")}, 200, false, `"released":false`},
		{"a role that is wrong is not kept", request{workshop.Winder, "POST", proposal, "", key("d")}, 403, false, "lead or owner"},
		{"and refused again", request{workshop.Winder, "POST", proposal, "", key("d")}, 403, false, "lead or owner"},
		{"reading has no use for a key", request{workshop.Lead, "GET", "/stock", "", key("a")}, 200, false, `"spools"`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			rec := d.do(tt.request)
			if rec.Code != tt.wantStatus || !strings.Contains(rec.Body.String(), tt.wantHas) {
				t.Errorf("%d, want %d with %q: %.600s", rec.Code, tt.wantStatus, tt.wantHas, rec.Body)
			}
			if replay := rec.Header().Get("Idempotent-Replay") == "true"; replay != tt.wantReplay {
				t.Errorf("replayed: %v, want %v", replay, tt.wantReplay)
			}
		})
	}
}

// TestIdempotencyWhileBusy repeats a request before the first is answered.
func TestIdempotencyWhileBusy(t *testing.T) {
	shop := testkit.Shop(t)
	d := newDesk(t, shop)
	entered, goOn := make(chan struct{}), make(chan struct{})
	shop.Store = slow{shop.Store, entered, goOn}
	r := request{workshop.Lead, "POST", "/days/2026-03-02/proposal", "", map[string]string{"Idempotency-Key": "k"}}
	first := make(chan int)
	go func() { first <- d.do(r).Code }()
	<-entered
	if rec := d.do(r); rec.Code != 409 || !strings.Contains(rec.Body.String(), "/problems/key-busy") {
		t.Errorf("the repetition is answered %d: %s", rec.Code, rec.Body)
	}
	close(goOn)
	if code := <-first; code != 200 {
		t.Errorf("the first is answered %d", code)
	}
	if rec := d.do(r); rec.Code != 200 || rec.Header().Get("Idempotent-Replay") != "true" {
		t.Errorf("afterwards: %d, replay %q", rec.Code, rec.Header().Get("Idempotent-Replay"))
	}
}
