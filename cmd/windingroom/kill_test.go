package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"windingroom/testdata/scenario"
)

// asProgram makes the test binary run the program itself, so that it can be killed.
const asProgram = "WINDINGROOM_TEST_RUNS_THE_PROGRAM"

// TestKilledWhilePosting kills the server without warning while four people post spools, over and over. What was answered
// with success is there afterwards, what is there is whole, and the books tie out.
//
// It proves that a posting is all or nothing; it can't tell whether the disk was really written, because a killed program
// leaves what the system has buffered. That every commit waits for the disk is asserted when the database is opened
// (PRAGMA synchronous = FULL).
func TestKilledWhilePosting(t *testing.T) {
	kills := 200
	if testing.Short() {
		kills = 5
	}
	r := newRoom(t)
	dir := t.TempDir()
	if err := os.CopyFS(dir, scenario.Files); err != nil {
		t.Fatal(err)
	}
	r.run("import", dir)
	token := strings.TrimSpace(string(r.run("token", "add", "poster", "--role", "owner")))
	random := rand.New(rand.NewPCG(1, 2))
	acknowledged := map[string]bool{}
	asked := map[string]bool{}
	for round := range kills {
		server, url := startServer(t, r)
		var mu sync.Mutex
		var group sync.WaitGroup
		for person := range 4 {
			group.Go(func() {
				for n := 0; ; n++ {
					code := fmt.Sprintf("K-%d-%d-%d", round, person, n)
					mu.Lock()
					asked[code] = true
					mu.Unlock()
					if !postSpool(t, url, token, code) {
						return
					}
					mu.Lock()
					acknowledged[code] = true
					mu.Unlock()
				}
			})
		}
		time.Sleep(time.Duration(5+random.IntN(60)) * time.Millisecond)
		if err := server.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		_ = server.Wait() // it was killed
		group.Wait()
	}
	r.run("verify")
	there := spoolsThere(t, r)
	for code := range acknowledged {
		if there[code] != 1_000_000 {
			t.Errorf("spool %s was acknowledged and holds %d mg, want 1000000", code, there[code])
		}
	}
	for code, mass := range there {
		if asked[code] && mass != 1_000_000 {
			t.Errorf("spool %s is half there: %d mg", code, mass)
		}
	}
	if len(acknowledged) < kills {
		t.Errorf("only %d postings were acknowledged in %d rounds", len(acknowledged), kills)
	}
	t.Logf("%d kills, %d of %d postings acknowledged, none lost", kills, len(acknowledged), len(asked))
}

// startServer starts the program on a free port and gives its address.
func startServer(t *testing.T, r room) (*exec.Cmd, string) {
	t.Helper()
	server := exec.CommandContext(t.Context(), os.Args[0], "serve", "--addr", "127.0.0.1:0", "--database", r.database)
	server.Env = append(os.Environ(), asProgram+"=1")
	out, err := server.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	var errs bytes.Buffer
	server.Stderr = &errs
	if err := server.Start(); err != nil {
		t.Fatal(err)
	}
	line, err := bufio.NewReader(out).ReadString('\n')
	url := regexp.MustCompile(`http://[0-9.:]+`).FindString(line)
	if err != nil || url == "" {
		_ = server.Process.Kill()
		t.Fatalf("the server said %q, %v: %s", line, err, errs.String())
	}
	go func() { _, _ = io.Copy(io.Discard, out) }()
	return server, url
}

// postSpool posts one spool of 1 kg; false when the server is gone.
func postSpool(t *testing.T, url, token, code string) bool {
	t.Helper()
	body := fmt.Sprintf(`{"spool": %q, "wire": "MW-R-10.5", "lot": "K", "received_on": "2026-03-01", "gross_g": 1200, "tare_g": 200, "cost": 12.34, "location": "rack"}`, code)
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	defer cancel()
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, url+"/api/v1/spools", strings.NewReader(body))
	if err != nil {
		t.Error(err)
		return false
	}
	request.Header.Set("Authorization", "Bearer "+token)
	request.Header.Set("Content-Type", "application/json")
	request.Header.Set("Idempotency-Key", code)
	response, err := http.DefaultClient.Do(request)
	if err != nil {
		return false
	}
	answer, err := io.ReadAll(response.Body)
	response.Body.Close()
	if err != nil {
		return false // killed between its commit and its answer
	}
	if response.StatusCode/100 != 2 {
		t.Errorf("spool %s: status %d: %s", code, response.StatusCode, answer)
		return false
	}
	return true
}

func spoolsThere(t *testing.T, r room) map[string]int64 {
	t.Helper()
	var list struct {
		Spools []struct {
			Spool string `json:"spool"`
			Mass  int64  `json:"mass_mg"`
		} `json:"spools"`
	}
	if err := json.Unmarshal(r.run("stock", "--json"), &list); err != nil {
		t.Fatal(err)
	}
	there := map[string]int64{}
	for _, s := range list.Spools {
		there[s.Spool] = s.Mass
	}
	return there
}
