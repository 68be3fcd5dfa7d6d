package workshop

import (
	"context"
	"errors"

	"windingroom/internal/calendar"
)

// ErrUnsure says that a message may have arrived although nobody confirmed it: it is not sent again.
var ErrUnsure = errors.New("it is not known whether it arrived")

// The outcomes of a notice.
const (
	noticeSending = "sending"
	noticeSent    = "sent"
	noticeFailed  = "failed"
)

// SendOnce has a night's message leave on a channel, once whatever happens: it is noted before send runs, and only what surely did not leave may be
// tried again; a program that ends on the way leaves it at that. False when it was sent before. Only a lead or an owner may.
func (s *Shop) SendOnce(ctx context.Context, night calendar.Date, channel string, send func(context.Context) error) (sent bool, err error) {
	if _, err := allow(ctx, "sending a night's message", Lead); err != nil {
		return false, err
	}
	claimed := false
	err = s.Store.InTx(ctx, func(tx Tx) error {
		claimed = false
		before, err := tx.SentNotices(night)
		if err != nil {
			return err
		}
		for _, n := range before {
			if n.Channel == channel && n.Outcome != noticeFailed {
				return nil
			}
		}
		claimed = true
		return tx.SaveNotice(SentNotice{Night: night, Channel: channel, At: s.Now().UTC(), Outcome: noticeSending})
	})
	if err != nil || !claimed {
		return false, err
	}
	failure := send(ctx)
	note := SentNotice{Night: night, Channel: channel, At: s.Now().UTC(), Outcome: noticeSent}
	if failure != nil {
		note.Outcome, note.Detail = noticeFailed, failure.Error()
		if errors.Is(failure, ErrUnsure) {
			note.Outcome = noticeSending
		}
	}
	ctx = context.WithoutCancel(ctx) // what left must be noted even while the program stops
	return failure == nil, errors.Join(failure, s.Store.InTx(ctx, func(tx Tx) error { return tx.SaveNotice(note) }))
}
