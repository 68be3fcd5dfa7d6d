package main

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestServeDoesTheNightlyWork starts the server on a shop whose night was missed: it backs up, checks, tells, once; a second start does nothing
// again, and the backup can be put back.
func TestServeDoesTheNightlyWork(t *testing.T) {
	dir := t.TempDir()
	told := make(chan string, 10)
	hook := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		b, _ := io.ReadAll(r.Body)
		told <- r.Header.Get("Authorization") + " " + string(b)
	}))
	defer hook.Close()
	config := filepath.Join(dir, "config.yaml")
	text := fmt.Sprintf("database: sqlite:%s\naddr: 127.0.0.1:0\ntime_zone: UTC\nbackup_dir: %s\nwebhook: {url: %q, token: hunter2}\n",
		filepath.Join(dir, "shop.db"), filepath.Join(dir, "backups"), hook.URL+"/secret-path")
	if err := os.WriteFile(config, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	log := &strings.Builder{}
	served := func(metric string) {
		t.Helper()
		ctx, stop := context.WithTimeout(t.Context(), time.Minute)
		defer stop()
		out, in := io.Pipe()
		ended := make(chan int, 1)
		go func() { ended <- run(ctx, []string{"serve", "--config", config}, strings.NewReader(""), in, log) }()
		lines := bufio.NewReader(out)
		line, err := lines.ReadString('\n')
		url, ok := strings.CutPrefix(strings.TrimSpace(line), "serving on ")
		if err != nil || !ok {
			t.Fatalf("the server began with %q, %v: %s", line, err, log)
		}
		go io.Copy(io.Discard, lines)
		for body := ""; !strings.Contains(body, metric); time.Sleep(20 * time.Millisecond) {
			resp, err := http.Get(url + "/metrics")
			if err != nil {
				t.Fatalf("no %s: %v", metric, err)
			}
			b, _ := io.ReadAll(resp.Body)
			resp.Body.Close()
			body = string(b)
		}
		stop()
		if code := <-ended; code != done {
			t.Errorf("the server ended with %d: %s", code, log)
		}
	}
	served(`windingroom_job_last_success_timestamp_seconds{job="tidy"}`) // the last of the night
	served(`windingroom_job_failed{job="tidy"} 0`)
	if len(told) != 1 {
		t.Fatalf("told %d times; the log says %s", len(told), log)
	}
	message := <-told
	var night struct {
		Date  string `json:"date"`
		Wires []any  `json:"wires"`
	}
	body, ok := strings.CutPrefix(message, "Bearer hunter2 ")
	if err := json.Unmarshal([]byte(body), &night); err != nil || !ok || night.Date == "" || night.Wires == nil {
		t.Errorf("told %s, %v", message, err)
	}
	for _, secret := range []string{"hunter2", "secret-path"} {
		if strings.Contains(log.String(), secret) {
			t.Errorf("the log holds %q: %s", secret, log)
		}
	}
	backups, err := filepath.Glob(filepath.Join(dir, "backups", "windingroom-*.db"))
	if err != nil || len(backups) != 1 {
		t.Fatalf("backups %q, %v", backups, err)
	}
	var out, errs strings.Builder
	if code := run(t.Context(), []string{"--database", "sqlite:" + filepath.Join(dir, "back.db"), "restore", backups[0]}, strings.NewReader(""), &out, &errs); code != done {
		t.Errorf("restored with %d: %s", code, errs.String())
	}
	if code := run(t.Context(), []string{"--database", "sqlite:" + filepath.Join(dir, "shop.db"), "jobs"}, strings.NewReader(""), &out, &errs); code != done ||
		!strings.Contains(out.String(), "sent by webhook") || !strings.Contains(out.String(), "restored on trial and sound") {
		t.Errorf("jobs: %s%s", out.String(), errs.String())
	}
}
