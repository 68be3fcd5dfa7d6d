package books

import (
	"context"
	"errors"
	"fmt"
	"io"
	"sync"
	"sync/atomic"
	"time"

	"windingroom/internal/httpd"
)

// runs are the long exports: one of each person, few being written at a time. They live in this program alone, and their files have no names,
// so that nothing is left when it ends.
type runs struct {
	shop   Shop
	ending context.Context // of the server: what is being written then stops
	keep   time.Duration   // for which a finished file waits
	long   int             // movements from which an export is one of these

	mu sync.Mutex
	of map[string]*run // by person
}

const (
	mostAtOnce = 2         // being written
	keptFor    = time.Hour // a finished file
)

func newRuns(ending context.Context, shop Shop) *runs {
	if ending == nil {
		ending = context.Background()
	}
	return &runs{shop: shop, ending: ending, keep: keptFor, long: longFrom, of: map[string]*run{}}
}

var (
	errWriting = errors.New("another file of yours is still being written: cancel it first, or wait for it")
	errAllBusy = errors.New("other people's files are being written: try again in a minute")
)

// run is one export, being written or done.
type run struct {
	export
	began time.Time
	stop  context.CancelFunc
	step  [2]counter // the ledger read, then the movements written

	done chan struct{} // closed when it ended; only then what follows
	took time.Duration
	err  error
	size int64

	mu   sync.RWMutex // held for reading while the file is sent
	kept *httpd.ScratchFile
}

// counter is how many of how many.
type counter struct{ done, of atomic.Int64 }

func (c *counter) set(done, of int) {
	c.done.Store(int64(done))
	c.of.Store(int64(of))
}

// start begins an export for a person, in place of one that ended. ctx is of a request: it gives who asks, not how long it takes.
func (s *runs) start(ctx context.Context, person string, e export, read, written int) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	writing := 0
	for name, r := range s.of {
		switch {
		case r.ended():
		case name == person:
			return errWriting
		default:
			writing++
		}
	}
	if writing >= mostAtOnce {
		return errAllBusy
	}
	if last := s.of[person]; last != nil {
		go last.discard() // it may be on its way to the person still
	}
	ctx, stop := context.WithCancel(context.WithoutCancel(ctx))
	atEnd := context.AfterFunc(s.ending, stop)
	r := &run{export: e, began: time.Now(), stop: stop, done: make(chan struct{})}
	r.step[0].set(0, read)
	r.step[1].set(0, written)
	s.of[person] = r
	go func() {
		r.write(ctx, s.shop)
		atEnd()
		stop()
		time.AfterFunc(s.keep, func() { s.forget(person, r) })
	}()
	return nil
}

// write writes the file. A panic is an error of this export and ends nothing else.
func (r *run) write(ctx context.Context, shop Shop) {
	defer close(r.done)
	defer func() {
		if p := recover(); p != nil {
			r.err = fmt.Errorf("writing the %s: %v", r.words(), p)
		}
		r.took = time.Since(r.began)
	}()
	r.kept, r.size, r.err = r.export.write(ctx, shop, progress{read: r.step[0].set, written: r.step[1].set})
	if ctx.Err() != nil && r.err != nil {
		r.err = context.Canceled
	}
}

func (r *run) ended() bool {
	select {
	case <-r.done:
		return true
	default:
		return false
	}
}

// share gives how much of the work is done: reading the ledger and writing it count alike.
func (r *run) share() float64 {
	done, of := r.step[0].done.Load()+r.step[1].done.Load(), r.step[0].of.Load()+r.step[1].of.Load()
	if r.step[1].done.Load() > 0 { // what was kept of the ledger needs no reading
		done += r.step[0].of.Load() - r.step[0].done.Load()
	}
	return float64(done) / float64(max(1, of))
}

// last gives the export of a person; nil where there is none.
func (s *runs) last(person string) *run {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.of[person]
}

// forget ends a run and lets go of its file.
func (s *runs) forget(person string, r *run) {
	s.mu.Lock()
	if s.of[person] == r {
		delete(s.of, person)
	}
	s.mu.Unlock()
	r.stop()
	go r.discard()
}

// discard frees the file once nobody is being sent it.
func (r *run) discard() {
	<-r.done
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.kept != nil {
		_ = r.kept.Close()
		r.kept = nil
	}
}

// open gives the file to send; done lets go of it. It is nil where there is none any more.
func (r *run) open() (body io.Reader, done func()) {
	if !r.ended() {
		return nil, nil
	}
	r.mu.RLock()
	if r.kept == nil {
		r.mu.RUnlock()
		return nil, nil
	}
	return io.NewSectionReader(r.kept, 0, r.size), r.mu.RUnlock
}
