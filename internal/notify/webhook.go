package notify

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"

	"windingroom/internal/workshop"
)

// Webhook is an address that takes the night as JSON.
type Webhook struct {
	URL   string
	Token string // sent as a bearer token; empty for none
}

// errRefused says that a webhook answered, and did not take the message.
var errRefused = errors.New("it was not taken")

// Send posts a JSON document under a key that is the same for each attempt, so that a receiver can tell a repetition. It follows no redirection:
// the token goes nowhere else.
func (w Webhook) Send(ctx context.Context, key string, body []byte) error {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, w.URL, bytes.NewReader(body))
	if err != nil {
		return errors.New("webhook: its address cannot be read")
	}
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Idempotency-Key", key)
	if w.Token != "" {
		req.Header.Set("Authorization", "Bearer "+w.Token)
	}
	client := &http.Client{
		Transport:     &http.Transport{Proxy: http.ProxyFromEnvironment, DisableKeepAlives: true}, // a request on an old connection would be repeated by itself
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}
	resp, err := client.Do(req)
	if err != nil {
		return w.unsent(req, err)
	}
	defer resp.Body.Close()
	_, _ = io.Copy(io.Discard, io.LimitReader(resp.Body, 64<<10))
	switch {
	case resp.StatusCode >= 200 && resp.StatusCode < 300:
		return nil
	case resp.StatusCode >= 500 && resp.StatusCode != http.StatusServiceUnavailable:
		return fmt.Errorf("webhook at %s answered %d: %w", req.URL.Host, resp.StatusCode, workshop.ErrUnsure)
	}
	return fmt.Errorf("webhook at %s answered %d: %w", req.URL.Host, resp.StatusCode, errRefused)
}

// unsent tells a request that surely never left from one that may have; the error loses the address, which may hold a secret.
func (w Webhook) unsent(req *http.Request, err error) error {
	var outer *url.Error
	if errors.As(err, &outer) {
		err = outer.Err
	}
	var op *net.OpError
	if errors.As(err, &op) && op.Op == "dial" {
		return fmt.Errorf("webhook at %s: no connection: %w", req.URL.Host, op.Err)
	}
	return fmt.Errorf("webhook at %s: %w: %w", req.URL.Host, err, workshop.ErrUnsure)
}
