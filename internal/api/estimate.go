package api

import (
	"context"
	"net/http"
	"reflect"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/internal/estimate"
)

const estimatePath = "/estimate"

// estimateInput takes the body as it came: estimate.Decode reads it, so that the API and the command line refuse the same
// mistakes with the same words.
type estimateInput struct {
	RawBody []byte `contentType:"application/json"`
}

func (s *server) estimates(api huma.API) {
	op := operation(http.MethodPost, estimatePath, "estimate", "Consumption and tension of one build")
	op.Description = "Pure arithmetic on the shop's alloys and allowances: needs no token and changes nothing. Numbers are not rounded."
	op.Security = nil
	op.Errors = []int{http.StatusBadRequest}
	op.SkipValidateBody = true
	huma.Register(api, op, s.estimate)
	registry := api.OpenAPI().Components.Schemas
	api.OpenAPI().Paths[estimatePath].Post.RequestBody.Content["application/json"] = &huma.MediaType{
		Schema: registry.Schema(reflect.TypeFor[Build](), true, "Build"),
	}
}

func (s *server) estimate(ctx context.Context, in *estimateInput) (*answer[Estimate], error) {
	build, err := estimate.Decode(in.RawBody)
	if err != nil {
		return nil, err
	}
	a, err := s.shop.Estimate(ctx, build)
	if err != nil {
		return nil, err
	}
	return &answer[Estimate]{Estimate(a)}, nil
}

// Build describes the body of an estimate; estimate.Build is what it is read into.
type Build struct {
	Core     BuildWire           `json:"core"`
	Layers   []BuildLayer        `json:"layers,omitempty" maxItems:"3" doc:"Innermost first; none is a plain string."`
	BallEnd  bool                `json:"ball_end,omitempty"`
	ScaleIn  float64             `json:"scale_in" exclusiveMinimum:"0"`
	Pitch    Pitch               `json:"pitch"`
	Practice map[string]*float64 `json:"practice,omitempty" doc:"Allowances of this string that differ from the shop's, such as tail_mm."`
}

// BuildWire is a wire of a build.
type BuildWire struct {
	Alloy         string  `json:"alloy" example:"music-wire"`
	Section       string  `json:"section" enum:"round,hex,flat"`
	SizeThou      float64 `json:"size_thou" exclusiveMinimum:"0"`
	ThicknessThou float64 `json:"thickness_thou,omitempty" doc:"Flat wire only."`
	Across        string  `json:"across,omitempty" enum:"flats,corners" doc:"Hex wire only: where size_thou is measured."`
}

// BuildLayer is one wrap of a build.
type BuildLayer struct {
	BuildWire
	LayThou *float64 `json:"lay_thou,omitempty" doc:"Advance per turn; null or left out winds turn against turn."`
}

// Pitch is a note or a number of hertz.
type Pitch struct{}

// Schema describes both.
func (Pitch) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{
		Description: "A note such as A2, F#2 or Bb1, or a number of hertz.",
		OneOf:       []*huma.Schema{{Type: "string"}, {Type: "number"}},
	}
}

// Estimate is what one string takes and what happens at pitch.
type Estimate estimate.Answer
