package store_test

import (
	"errors"
	"io"
	"net"
	"net/url"
	"sync"
	"testing"

	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// cable leads to a server until it is pulled.
type cable struct {
	net.Listener
	mu    sync.Mutex
	ends  []net.Conn
	loose bool
}

func plug(t *testing.T, server string) *cable {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	c := &cable{Listener: l}
	t.Cleanup(func() { l.Close(); c.set(true) })
	go func() {
		for {
			near, err := l.Accept()
			if err != nil {
				return
			}
			far, err := net.Dial("tcp", server)
			if err != nil || !c.keep(near, far) {
				near.Close()
				continue
			}
			go func() { _, _ = io.Copy(far, near); far.Close() }()
			go func() { _, _ = io.Copy(near, far); near.Close() }()
		}
	}()
	return c
}

func (c *cable) keep(ends ...net.Conn) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	if !c.loose {
		c.ends = append(c.ends, ends...)
	} else {
		for _, e := range ends {
			e.Close()
		}
	}
	return !c.loose
}

func (c *cable) set(loose bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.loose = loose
	for _, e := range c.ends {
		e.Close()
	}
	c.ends = nil
}

// A server that goes away is named as that, by reads and writes that were under way and by new ones; when it is back, all goes on.
func TestServerGoesAway(t *testing.T) {
	address, err := url.Parse(testkit.Postgres(t))
	if err != nil {
		t.Fatal(err)
	}
	c := plug(t, address.Host)
	address.Host = c.Addr().String()
	db := migrated(t, address.String())
	fill(t, db)
	spools := func(r workshop.Reader) error { _, err := r.Spools(); return err }
	record := func(tx workshop.Tx) error { return tx.Record(workshop.AuditEntry{At: noon}) }

	again := func(act string, try func() error) { // a connection that died unnoticed fails once, as what it is
		for range 20 {
			err := try()
			if err == nil {
				return
			}
			if !errors.Is(err, workshop.ErrAway) {
				t.Errorf("%s: %v", act, err)
			}
		}
		t.Errorf("%s does not go on", act)
	}
	read := func() error { return db.Read(t.Context(), spools) }
	write := func() error { return db.InTx(t.Context(), record) }
	ready := func() error { return db.Ready(t.Context()) }

	if err := db.Read(t.Context(), func(r workshop.Reader) error { c.set(true); return spools(r) }); !errors.Is(err, workshop.ErrAway) {
		t.Errorf("a read under way: %v", err)
	}
	for name, try := range map[string]func() error{"read": read, "write": write, "ready": ready} {
		if err := try(); !errors.Is(err, workshop.ErrAway) {
			t.Errorf("%s: %v", name, err)
		}
	}
	c.set(false)
	again("write", write)
	if err := db.InTx(t.Context(), func(tx workshop.Tx) error { c.set(true); return record(tx) }); !errors.Is(err, workshop.ErrAway) {
		t.Errorf("a write under way: %v", err)
	}
	c.set(false)
	again("ready", ready)
	again("read", read)
	again("write", write)
}
