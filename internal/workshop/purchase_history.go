package workshop

import (
	"context"

	"windingroom/internal/purchase"
)

// mostSteps is how many steps of a purchase are told: more than one ever takes.
const mostSteps = 200

// PurchaseHistory gives what was done to a purchase, the newest first; ErrNotFound when there is none. Only a lead, a bookkeeper or an owner
// may see it.
func (s *Shop) PurchaseHistory(ctx context.Context, code purchase.Code) (steps []AuditEntry, err error) {
	if _, err := allow(ctx, "seeing purchases and their prices", Lead, Bookkeeper); err != nil {
		return nil, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		p, err := r.Purchase(code)
		if err != nil {
			return err
		}
		steps, err = r.Audit(AuditFilter{Subject: string(p.Code), Most: mostSteps})
		return err
	})
	return steps, err
}
