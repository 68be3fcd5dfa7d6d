package workshop

import "context"

// Verify checks every invariant of the books and lists what is broken; an empty list is a clean bill. Everyone in the shop
// may ask.
func (s *Shop) Verify(ctx context.Context) ([]Discrepancy, error) {
	if _, err := allow(ctx, "verifying", Roles()...); err != nil {
		return nil, err
	}
	var found []Discrepancy
	err := s.Store.Read(ctx, func(r Reader) (err error) {
		found, err = r.Discrepancies()
		return err
	})
	return found, err
}
