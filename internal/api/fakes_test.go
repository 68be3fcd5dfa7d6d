package api_test

import (
	"context"
	"errors"

	"windingroom/internal/catalog"
	"windingroom/internal/workshop"
)

// broken is a store whose list of spools fails with a text that must not travel.
type broken struct{ workshop.Store }

func (s broken) Read(ctx context.Context, fn func(workshop.Reader) error) error {
	return s.Store.Read(ctx, func(r workshop.Reader) error { return fn(brokenReader{r}) })
}

type brokenReader struct{ workshop.Reader }

func (brokenReader) Practice() (p catalog.Practice, err error) {
	return p, errors.New("dial tcp 10.0.0.7: secret")
}

// panicking is a store whose transactions panic.
type panicking struct{ workshop.Store }

func (panicking) InTx(context.Context, func(workshop.Tx) error) error { panic("secret panic") }

// slow is a store whose first transaction says that it has begun and waits to be let go on.
type slow struct {
	workshop.Store
	entered chan<- struct{}
	goOn    <-chan struct{}
}

func (s slow) InTx(ctx context.Context, fn func(workshop.Tx) error) error {
	select {
	case <-s.goOn:
	default:
		s.entered <- struct{}{}
		<-s.goOn
	}
	return s.Store.InTx(ctx, fn)
}
