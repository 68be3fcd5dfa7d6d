package api

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/internal/workshop"
)

func (s *server) books(api huma.API) {
	s.periods(api)
	huma.Register(api, operation(http.MethodGet, "/verification", "verification", "Check every invariant of stock, plans and books"), s.verification)
}

func (s *server) verification(ctx context.Context, _ *struct{}) (*answer[Verification], error) {
	broken, err := s.shop.Verify(ctx)
	return answered(broken, err, VerificationBody)
}

// Verification says whether the books are sound.
type Verification struct {
	Clean  bool          `json:"clean"`
	Broken []Discrepancy `json:"broken"`
}

// Discrepancy is one broken invariant.
type Discrepancy struct {
	Invariant string `json:"invariant"`
	Subject   string `json:"subject"`
	Detail    string `json:"detail"`
}

// VerificationBody gives what Verify found as JSON.
func VerificationBody(broken []workshop.Discrepancy) Verification {
	body := Verification{Clean: len(broken) == 0, Broken: []Discrepancy{}}
	for _, d := range broken {
		body.Broken = append(body.Broken, Discrepancy(d))
	}
	return body
}
