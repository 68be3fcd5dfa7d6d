package store

import (
	"context"
	"fmt"
	"sync"

	"gorm.io/gorm"

	"windingroom/internal/workshop"
)

// Writers that wait are committed together: making a commit safe on the disk costs more than what a use case writes, and one
// commit serves them all. Each still has its own savepoint, so that one which fails takes nothing of the others with it,
// and nobody hears of success before the common commit is on the disk.

// mostTogether bounds how many use cases share a commit, and so how long the first of them waits for the last.
const mostTogether = 32

// write is one use case that wants to write.
type write struct {
	ctx  context.Context
	fn   func(workshop.Tx) error
	err  error
	done chan struct{} // closed when err stands
}

// queue lines writers up. Whoever holds the turn works off the line, others' writes with its own; no goroutine of its own
// is needed, and a write that meets no other costs what it always did.
type queue struct {
	mu      sync.Mutex
	waiting []*write
	turn    chan struct{} // holds one token while somebody works
}

func newQueue() *queue { return &queue{turn: make(chan struct{}, 1)} }

func (q *queue) join(w *write) {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.waiting = append(q.waiting, w)
}

// take gives the writes to commit together next, the longest waiting first.
func (q *queue) take() []*write {
	q.mu.Lock()
	defer q.mu.Unlock()
	n := min(len(q.waiting), mostTogether)
	group := q.waiting[:n:n]
	q.waiting = q.waiting[n:]
	return group
}

// leave takes a write out of the line; false when it is being worked on, and then its end must be awaited, because what it
// runs belongs to its caller.
func (q *queue) leave(w *write) bool {
	q.mu.Lock()
	defer q.mu.Unlock()
	for i, other := range q.waiting {
		if other == w {
			q.waiting = append(q.waiting[:i:i], q.waiting[i+1:]...)
			return true
		}
	}
	return false
}

// submit has a write done, by this goroutine or by the one whose turn it is.
func (db *DB) submit(ctx context.Context, fn func(workshop.Tx) error) error {
	w := &write{ctx: ctx, fn: fn, done: make(chan struct{})}
	db.queue.join(w)
	for {
		select {
		case <-w.done:
			return w.err
		case db.queue.turn <- struct{}{}:
			db.workOff()
			<-db.queue.turn
		case <-ctx.Done():
			if db.queue.leave(w) {
				return ctx.Err()
			}
			<-w.done
			return w.err
		}
	}
}

// workOff does the next group. When it cannot be done together, each is done alone.
func (db *DB) workOff() {
	group := db.queue.take()
	if len(group) > 1 && db.together(group) {
		finish(group)
		return
	}
	for _, w := range group {
		w.err = db.alone(w)
		finish([]*write{w})
	}
}

func finish(group []*write) {
	for _, w := range group {
		close(w.done)
	}
}

// alone does one write in a transaction of its own.
func (db *DB) alone(w *write) error {
	var failed error
	err := db.writer.WithContext(w.ctx).Transaction(func(gtx *gorm.DB) error {
		if err := db.dialect.lockWriters(gtx); err != nil {
			return err
		}
		failed = guarded(w.fn, &tx{reader{db: gtx, dialect: db.dialect}})
		return failed
	}, db.dialect.writeOptions())
	if failed != nil {
		return failed
	}
	return translate(err)
}

// together does several writes in one transaction; false when nothing of it stands and each must be tried alone.
func (db *DB) together(group []*write) bool {
	err := db.writer.WithContext(context.Background()).Transaction(func(common *gorm.DB) error {
		if err := db.dialect.lockWriters(common); err != nil {
			return err
		}
		for _, w := range group {
			if w.err = w.ctx.Err(); w.err != nil {
				continue
			}
			if err := db.within(common, w); err != nil {
				return err
			}
		}
		return nil
	}, db.dialect.writeOptions())
	return err == nil
}

// within does one write of a group between savepoints. Its own failure is its own affair; the error it returns says that the
// common transaction is gone (SQLite ends it by itself when the disk is full), and with it what the others wrote.
func (db *DB) within(common *gorm.DB, w *write) error {
	if err := common.Exec("SAVEPOINT of_one").Error; err != nil {
		return err
	}
	w.err = guarded(w.fn, &tx{reader{db: common.WithContext(w.ctx), dialect: db.dialect}})
	if w.err != nil {
		if err := common.Exec("ROLLBACK TO SAVEPOINT of_one").Error; err != nil {
			return err
		}
	}
	return common.Exec("RELEASE SAVEPOINT of_one").Error
}

// panicked carries a panic of a use case to its own caller, whoever ran it.
type panicked struct{ value any }

func (p panicked) Error() string { return fmt.Sprintf("panic: %v", p.value) }

// guarded runs a use case so that its panic becomes an error of this write.
func guarded(fn func(workshop.Tx) error, t workshop.Tx) (err error) {
	defer func() {
		if v := recover(); v != nil {
			err = panicked{v}
		}
	}()
	return fn(t)
}
