package web_test

import (
	"context"
	"errors"

	"windingroom/internal/workshop"
)

// tokenless is a store in which no token stands for anybody.
type tokenless struct{ workshop.Store }

func (s tokenless) Read(ctx context.Context, fn func(workshop.Reader) error) error {
	return s.Store.Read(ctx, func(r workshop.Reader) error { return fn(noTokens{r}) })
}

type noTokens struct{ workshop.Reader }

func (noTokens) Token([]byte) (workshop.Token, error) {
	return workshop.Token{}, workshop.ErrNotFound
}

// failing is a store whose transactions fail with a text that must not travel.
type failing struct{ workshop.Store }

func (failing) InTx(context.Context, func(workshop.Tx) error) error {
	return errors.New("dial tcp 10.0.0.7: secret")
}

// panicking is a store whose transactions panic.
type panicking struct{ workshop.Store }

func (panicking) InTx(context.Context, func(workshop.Tx) error) error { panic("secret") }
