package notify_test

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"windingroom/internal/notify"
	"windingroom/internal/workshop"
)

// postbox is a mail server on loopback that follows a script of answers.
type postbox struct {
	host    string
	port    int
	answers map[string]string // by command; "data" answers the end of the message, an empty answer breaks the connection
	mu      sync.Mutex
	letters []string
	talk    []string
}

func newPostbox(t *testing.T, answers map[string]string) *postbox {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	addr := l.Addr().(*net.TCPAddr)
	p := &postbox{host: "127.0.0.1", port: addr.Port, answers: answers}
	var all sync.WaitGroup
	ctx, cancel := context.WithCancel(context.Background())
	all.Go(func() {
		for {
			conn, err := l.Accept()
			if err != nil {
				return
			}
			context.AfterFunc(ctx, func() { conn.Close() })
			all.Go(func() { p.serve(conn) })
		}
	})
	t.Cleanup(func() { l.Close(); cancel(); all.Wait() })
	return p
}

func (p *postbox) serve(conn net.Conn) {
	defer conn.Close()
	_ = conn.SetDeadline(time.Now().Add(10 * time.Second))
	r := bufio.NewReader(conn)
	say := func(command, usual string) bool {
		answer, scripted := p.answers[command]
		if !scripted {
			answer = usual
		}
		if answer == "" {
			return false
		}
		_, err := fmt.Fprintf(conn, "%s\r\n", answer)
		return err == nil
	}
	say("", "220 postbox")
	for {
		line, err := r.ReadString('\n')
		if err != nil {
			return
		}
		p.mu.Lock()
		p.talk = append(p.talk, line)
		p.mu.Unlock()
		command := strings.ToUpper(strings.Fields(line + " x")[0])
		usual := map[string]string{"EHLO": "250 postbox", "DATA": "354 go on", "QUIT": "221 bye"}[command]
		if usual == "" {
			usual = "250 ok"
		}
		if !say(command, usual) {
			return
		}
		if command != "DATA" || p.answers["DATA"] != "" {
			continue
		}
		var letter strings.Builder
		for {
			line, err := r.ReadString('\n')
			if err != nil {
				return
			}
			if line == ".\r\n" {
				break
			}
			letter.WriteString(line)
		}
		p.mu.Lock()
		p.letters = append(p.letters, letter.String())
		p.mu.Unlock()
		if !say("data", "250 taken") {
			return
		}
	}
}

func (p *postbox) mail() notify.Mail {
	return notify.Mail{Host: p.host, Port: p.port, Encryption: "none", From: "shop@example.test", To: []string{"owner@example.test", "lead@example.test"}}
}

func TestMail(t *testing.T) {
	tests := []struct {
		name    string
		answers map[string]string
		letters int
		fails   bool
		unsure  bool
	}{
		{name: "taken", letters: 1},
		{name: "sender refused for now", answers: map[string]string{"MAIL": "451 later"}, fails: true},
		{name: "one recipient refused", answers: map[string]string{"RCPT": "550 nobody here"}, fails: true},
		{name: "not taken", answers: map[string]string{"data": "552 too large"}, letters: 1, fails: true},
		{name: "broken before the message", answers: map[string]string{"MAIL": ""}, fails: true},
		{name: "broken after the last byte", answers: map[string]string{"data": ""}, letters: 1, fails: true, unsure: true},
		{name: "taken, and broken after", answers: map[string]string{"QUIT": ""}, letters: 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := newPostbox(t, tt.answers)
			err := p.mail().Send(t.Context(), "night of 2026-03-02", "order “PB8-R-12.0”\n.\nnow\n")
			if (err != nil) != tt.fails || errors.Is(err, workshop.ErrUnsure) != tt.unsure {
				t.Errorf("error %v", err)
			}
			p.mu.Lock()
			defer p.mu.Unlock()
			if len(p.letters) != tt.letters {
				t.Fatalf("%d letters", len(p.letters))
			}
			if tt.letters > 0 && (!strings.Contains(p.letters[0], "Subject: night of 2026-03-02\r\n") || !strings.Contains(p.letters[0], "now")) {
				t.Errorf("letter\n%s", p.letters[0])
			}
		})
	}
}

func TestMailKeepsItsPassword(t *testing.T) {
	p := newPostbox(t, map[string]string{"EHLO": "250-postbox\r\n250 AUTH PLAIN LOGIN"})
	m := p.mail()
	m.Encryption, m.User, m.Password = "starttls", "shop", "hunter2"
	err := m.Send(t.Context(), "s", "t")
	if err == nil || strings.Contains(err.Error(), "hunter2") {
		t.Errorf("error %v", err)
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if talk := strings.Join(p.talk, ""); strings.Contains(talk, "AUTH") || strings.Contains(talk, "hunter2") || len(p.letters) > 0 {
		t.Errorf("without encryption it said\n%s", talk)
	}
}

func TestMailToNobodyThere(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	port := l.Addr().(*net.TCPAddr).Port
	l.Close()
	m := notify.Mail{Host: "127.0.0.1", Port: port, Encryption: "none", From: "a@example.test", To: []string{"b@example.test"}}
	if err := m.Send(t.Context(), "s", "t"); err == nil || errors.Is(err, workshop.ErrUnsure) {
		t.Errorf("error %v", err)
	}
	w := notify.Webhook{URL: fmt.Sprintf("http://127.0.0.1:%d/secret-path", port)}
	if err := w.Send(t.Context(), "k", nil); err == nil || errors.Is(err, workshop.ErrUnsure) || strings.Contains(err.Error(), "secret-path") {
		t.Errorf("error %v", err)
	}
}

func TestWebhook(t *testing.T) {
	var got []*http.Request
	var bodies []string
	status, hang := 204, false
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		b, _ := io.ReadAll(r.Body)
		got, bodies = append(got, r), append(bodies, string(b))
		if hang {
			<-r.Context().Done()
			return
		}
		if status == 302 {
			w.Header().Set("Location", "/elsewhere")
		}
		w.WriteHeader(status)
	}))
	defer s.Close()
	w := notify.Webhook{URL: s.URL + "/hook?key=hidden", Token: "hunter2"}
	if err := w.Send(t.Context(), "night-2026-03-02", []byte(`{"date":"2026-03-02"}`)); err != nil {
		t.Fatal(err)
	}
	r := got[0]
	if r.Method != "POST" || r.Header.Get("Authorization") != "Bearer hunter2" || r.Header.Get("Idempotency-Key") != "night-2026-03-02" ||
		r.Header.Get("Content-Type") != "application/json" || bodies[0] != `{"date":"2026-03-02"}` {
		t.Errorf("sent %+v %q", r, bodies[0])
	}
	for code, unsure := range map[int]bool{302: false, 400: false, 401: false, 429: false, 503: false, 500: true, 502: true, 504: true} {
		status = code
		err := w.Send(t.Context(), "k", nil)
		if err == nil || errors.Is(err, workshop.ErrUnsure) != unsure || strings.Contains(err.Error(), "hunter2") || strings.Contains(err.Error(), "hidden") {
			t.Errorf("%d: %v", code, err)
		}
	}
	if len(got) != 9 {
		t.Errorf("%d requests: a redirection was followed or a request repeated", len(got))
	}
	hang = true
	ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer cancel()
	if err := w.Send(ctx, "k", nil); !errors.Is(err, workshop.ErrUnsure) || strings.Contains(err.Error(), "hidden") {
		t.Errorf("no answer: %v", err)
	}
}
