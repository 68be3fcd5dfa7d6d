package problem

import "errors"

// Refusals that belong to HTTP and not to the trade.
var (
	ErrNoRoute       = errors.New("nothing is found at this address")
	ErrMethod        = errors.New("this address does not take that method")
	ErrMalformed     = errors.New("the request cannot be read")
	ErrTooLarge      = errors.New("the request is larger than this address takes")
	ErrMediaType     = errors.New("the request must be JSON: Content-Type: application/json")
	ErrNotAcceptable = errors.New("the answer is JSON: Accept: application/json")
	ErrSlow          = errors.New("the request arrived too slowly")
	ErrKeyReused     = errors.New("the Idempotency-Key was used before for another request")
	ErrKeyBusy       = errors.New("a request with this Idempotency-Key is still being answered")
	ErrCrossOrigin   = errors.New("the form was sent from another site")
)

// OfStatus gives the refusal for a status that a library chose, nil for one that stands for no single refusal.
func OfStatus(status int) error {
	for _, k := range kinds {
		if k.http && k.status == status {
			return k.errs[0]
		}
	}
	return nil
}
