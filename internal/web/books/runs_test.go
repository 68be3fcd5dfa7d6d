package books

import (
	"context"
	"testing"
	"time"

	"windingroom/internal/costing"
	"windingroom/internal/workshop"
)

// slowShop makes books that take until their context ends.
type slowShop struct{ Shop }

func (slowShop) WatchBooks(ctx context.Context, _, _ costing.Period, seen func(read, of int), _ func(*workshop.Books) error) error {
	seen(500, 1000)
	<-ctx.Done()
	return ctx.Err()
}

// emptyShop makes books of nothing at once.
type emptyShop struct{ Shop }

func (emptyShop) WatchBooks(_ context.Context, _, _ costing.Period, _ func(read, of int), use func(*workshop.Books) error) error {
	return use(&workshop.Books{Currency: "EUR", Movements: func(func(workshop.LedgerLine) error) error { return nil }})
}

type panicking struct{ Shop }

func (panicking) WatchBooks(context.Context, costing.Period, costing.Period, func(read, of int), func(*workshop.Books) error) error {
	panic("a mistake")
}

func await(t *testing.T, r *run) {
	t.Helper()
	select {
	case <-r.done:
	case <-time.After(5 * time.Second):
		t.Fatal("the run does not end")
	}
}

func TestFewExportsAtOnce(t *testing.T) {
	s := newRuns(t.Context(), slowShop{})
	for _, person := range []string{"ann", "bo"} {
		if err := s.start(t.Context(), person, export{}, 1000, 1000); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.start(t.Context(), "ann", export{}, 1, 1); err != errWriting {
		t.Errorf("a second of one person: %v", err)
	}
	if err := s.start(t.Context(), "cy", export{}, 1, 1); err != errAllBusy {
		t.Errorf("a third person's: %v", err)
	}
	one := s.last("ann")
	s.forget("ann", one)
	await(t, one)
	if one.err != context.Canceled || s.last("ann") != nil {
		t.Errorf("cancelled: %v, %v", one.err, s.last("ann"))
	}
	if err := s.start(t.Context(), "cy", export{}, 1, 1); err != nil {
		t.Errorf("once one was cancelled: %v", err)
	}
}

func TestExportsEndWithTheServer(t *testing.T) {
	ending, end := context.WithCancel(t.Context())
	s := newRuns(ending, slowShop{})
	if err := s.start(t.Context(), "ann", export{}, 1, 1); err != nil {
		t.Fatal(err)
	}
	end()
	await(t, s.last("ann"))
}

func TestAFinishedFileIsLetGo(t *testing.T) {
	s := newRuns(t.Context(), emptyShop{})
	s.keep = 50 * time.Millisecond
	if err := s.start(t.Context(), "ann", export{}, 0, 0); err != nil {
		t.Fatal(err)
	}
	r := s.last("ann")
	await(t, r)
	body, sent := r.open()
	if r.err != nil || body == nil {
		t.Fatalf("no file: %v", r.err)
	}
	for s.last("ann") != nil {
		time.Sleep(5 * time.Millisecond)
	}
	if b := make([]byte, 2); !reads(body.Read(b)) || string(b) != "PK" {
		t.Errorf("the file is closed while it is sent: %q", b)
	}
	sent()
	for range 200 { // it is let go of beside
		if again, done := r.open(); again == nil {
			return
		} else {
			done()
		}
		time.Sleep(5 * time.Millisecond)
	}
	t.Error("the file is kept for ever")
}

func reads(_ int, err error) bool { return err == nil }

func TestAPanicEndsOnlyItsExport(t *testing.T) {
	s := newRuns(t.Context(), panicking{})
	if err := s.start(t.Context(), "ann", export{}, 1, 1); err != nil {
		t.Fatal(err)
	}
	r := s.last("ann")
	await(t, r)
	if r.err == nil {
		t.Error("a panic is no error")
	}
}

// How far it is never goes back, and is all once all is written; what need not be read counts as read.
func TestShareOfAnExport(t *testing.T) {
	r := &run{}
	r.step[0].set(0, 3000)
	r.step[1].set(0, 1000)
	last := -1.0
	for _, at := range [][2]int{{0, 0}, {1500, 0}, {2000, 0}, {2000, 1}, {2000, 500}, {2000, 1000}} {
		r.step[0].set(at[0], 3000)
		r.step[1].set(at[1], 1000)
		if now := r.share(); now < last {
			t.Errorf("at %v it is %v after %v", at, now, last)
		} else {
			last = now
		}
	}
	if last != 1 {
		t.Errorf("at the end it is %v", last)
	}
}
