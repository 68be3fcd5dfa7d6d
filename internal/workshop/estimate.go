package workshop

import (
	"context"

	"windingroom/internal/estimate"
)

// Estimate answers what one build consumes and at what tension it sits, with the shop's alloys and allowances. Anyone may
// ask. The error is estimate.Invalid when the build cannot be.
func (s *Shop) Estimate(ctx context.Context, b estimate.Build) (estimate.Answer, error) {
	var answer estimate.Answer
	err := s.Store.Read(ctx, func(r Reader) error {
		practice, err := r.Practice()
		if err != nil {
			return err
		}
		alloys, err := allAlloys(r)
		if err != nil {
			return err
		}
		answer, err = estimate.Of(b, alloys, practice.Allowances)
		return err
	})
	return answer, err
}
