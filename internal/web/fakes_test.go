package web_test

import (
	"context"
	"errors"

	"windingroom/internal/workshop"
)

// failing is a store whose transactions fail with a text that must not travel.
type failing struct{ workshop.Store }

func (failing) InTx(context.Context, func(workshop.Tx) error) error {
	return errors.New("dial tcp 10.0.0.7: secret")
}

// panicking is a store whose transactions panic.
type panicking struct{ workshop.Store }

func (panicking) InTx(context.Context, func(workshop.Tx) error) error { panic("secret") }
