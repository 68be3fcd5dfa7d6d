package workshop

import "errors"

// What a use case or the store may refuse. The store turns database errors into these; problem turns these into answers.
var (
	ErrNotFound    = errors.New("not found")
	ErrExists      = errors.New("already there")
	ErrChanged     = errors.New("changed by someone else in the meantime")
	ErrShort       = errors.New("not enough free wire")
	ErrReleased    = errors.New("the day is already released")
	ErrNotReleased = errors.New("the day is not released yet")
	ErrStage       = errors.New("not at this stage")
	ErrClosed      = errors.New("the month is closed")
	ErrBusy        = errors.New("the database is busy with another writer; try again")
	ErrFull        = errors.New("the disk is full; nothing was written")
	ErrLastOwner   = errors.New("the shop would have no owner")
	ErrSignIn      = errors.New("the name or the password is not right")
	ErrSlowed      = errors.New("too many tries")
	ErrNotReady    = errors.New("the database is not ready")
	ErrAway        = errors.New("the database does not answer")

	ErrBelowMinimum = errors.New("send it all the same with confirm and a reason, or add to it first")
)
