package api

import (
	"context"
	"net/http"
	"reflect"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/internal/catalog"
	"windingroom/internal/intake"
	"windingroom/internal/setwork"
)

func (s *server) sets(api huma.API) {
	ask(api, "/match", "match", "A set in another alloy at equal tension, from the recipes and from wire on the shelf",
		MatchQuestion{}, setwork.DecodeMatch, s.shop.MatchSet)
	ask(api, "/sets/tension", "set-tension", "What a set does at pitch, and beside another one",
		TensionQuestion{}, setwork.DecodeTension, s.shop.SetTension)
	ask(api, "/sets/balance", "set-balance", "Makeable strings that pull as wanted",
		BalanceQuestion{}, setwork.DecodeBalance, s.shop.BalanceSet)
	ask(api, "/wires/find", "find-wires", "Ways to make a gauge in an alloy",
		FindQuestion{}, setwork.DecodeFind, s.shop.FindWires)
	add := write("/recipes", "add-recipe", "Add a recipe; what is left out is filled in from the recipe nearest to it. The same one again changes nothing")
	add.DefaultStatus = http.StatusCreated
	huma.Register(api, add, s.addRecipe)
	s.standingSets(api)
}

// rawInput takes the body as it came, so that the API and the command line refuse the same mistakes with the same words.
type rawInput struct {
	RawBody []byte `contentType:"application/json"`
}

// ask registers a question about sets: it changes nothing. question describes its body.
func ask[Q, A any](api huma.API, path, id, summary string, question any, decode func([]byte) (Q, error), answers func(context.Context, Q) (A, error)) {
	op := operation(http.MethodPost, path, id, summary)
	op.Description = "Changes nothing. Numbers are not rounded, but for money."
	op.Errors = append(op.Errors, http.StatusBadRequest)
	op.SkipValidateBody = true
	huma.Register(api, op, func(ctx context.Context, in *rawInput) (*answer[A], error) {
		q, err := decode(in.RawBody)
		if err != nil {
			return nil, err
		}
		a, err := answers(ctx, q)
		return answered(a, err, func(a A) A { return a })
	})
	kind := reflect.TypeOf(question)
	api.OpenAPI().Paths[path].Post.RequestBody.Content["application/json"] = &huma.MediaType{
		Schema: api.OpenAPI().Components.Schemas.Schema(kind, true, kind.Name()),
	}
}

// MatchQuestion describes the body of a match; setwork.MatchRequest is what it is read into.
type MatchQuestion struct {
	Set                 SetQuestion `json:"set"`
	Alloy               string      `json:"alloy" doc:"Of the outermost wrap of the wound strings." example:"nickel"`
	TolerancePercent    *float64    `json:"tolerance_percent,omitempty" minimum:"0" maximum:"100" doc:"Of the wanted tension; 5 where left out."`
	HeldOnly            bool        `json:"held_only,omitempty" doc:"Nothing but what the shelf holds."`
	PlainLighterPercent float64     `json:"plain_lighter_percent,omitempty" minimum:"0" maximum:"50" doc:"By how much plain strings are to pull less than now."`
	MagneticPickup      bool        `json:"magnetic_pickup,omitempty" doc:"The instrument has one."`
	Quantity            int         `json:"quantity,omitempty" minimum:"1" doc:"Equal sets made at once, which share the setup in the price; 1 where left out."`
}

// TensionQuestion describes the body of a question for tension.
type TensionQuestion struct {
	Set            SetQuestion  `json:"set"`
	Reference      *SetQuestion `json:"reference,omitempty" doc:"To compare with."`
	MagneticPickup bool         `json:"magnetic_pickup,omitempty"`
	Quantity       int          `json:"quantity,omitempty" minimum:"1" doc:"Equal sets made at once, which share the setup in the price; 1 where left out."`
}

// BalanceQuestion describes the body of a question for balance.
type BalanceQuestion struct {
	Set              []WantedString `json:"set" minItems:"1" maxItems:"24"`
	Alloy            string         `json:"alloy" doc:"Of the outermost wrap of wound strings."`
	EqualN           *float64       `json:"equal_n,omitempty" doc:"The same on each string; or first_n with last_n; or a reference."`
	FirstN           *float64       `json:"first_n,omitempty"`
	LastN            *float64       `json:"last_n,omitempty"`
	Reference        *SetQuestion   `json:"reference,omitempty" doc:"Whose tensions are wanted, position by position."`
	TolerancePercent *float64       `json:"tolerance_percent,omitempty" minimum:"0" maximum:"100"`
	HeldOnly         bool           `json:"held_only,omitempty"`
	MagneticPickup   bool           `json:"magnetic_pickup,omitempty"`
	Quantity         int            `json:"quantity,omitempty" minimum:"1" doc:"Equal sets made at once, which share the setup in the price; 1 where left out."`
}

// WantedString is a string of which scale and pitch are settled.
type WantedString struct {
	ScaleIn float64 `json:"scale_in" exclusiveMinimum:"0"`
	Pitch   Pitch   `json:"pitch"`
	Plain   *bool   `json:"plain,omitempty" doc:"Left out where it may be plain or wound."`
}

// FindQuestion describes the body of a search for wires.
type FindQuestion struct {
	GaugeThou     float64  `json:"gauge_thou" exclusiveMinimum:"0"`
	Alloy         string   `json:"alloy" doc:"Of the outermost wrap, or of a plain wire."`
	ToleranceThou *float64 `json:"tolerance_thou,omitempty" doc:"0.5 where left out."`
	ScaleIn       float64  `json:"scale_in,omitempty"`
	Pitch         *Pitch   `json:"pitch,omitempty" doc:"With scale_in: at what tension the string sits."`
	HeldOnly      bool     `json:"held_only,omitempty"`
}

// SetQuestion is a set: strings, or the code of a standing one.
type SetQuestion struct{}

// setString is one string of a set.
type setString struct {
	Recipe  string   `json:"recipe,omitempty" doc:"Or core and wraps."`
	Core    string   `json:"core,omitempty" doc:"Code of a wire, for a string without a recipe."`
	Wraps   []string `json:"wraps,omitempty" maxItems:"3" doc:"Codes of wires, innermost first, wound turn against turn."`
	ScaleIn float64  `json:"scale_in" exclusiveMinimum:"0"`
	Pitch   Pitch    `json:"pitch"`
}

// Schema describes both.
func (SetQuestion) Schema(r huma.Registry) *huma.Schema {
	one, most := 1, 24
	return &huma.Schema{OneOf: []*huma.Schema{
		{Type: "array", Items: r.Schema(reflect.TypeFor[setString](), true, "SetString"), MinItems: &one, MaxItems: &most},
		{Type: "string", Description: "Code of a standing set."},
	}}
}

// RecipeForm is a recipe to add.
type RecipeForm struct {
	Recipe      string     `json:"recipe"`
	GaugeThou   Decimal    `json:"gauge_thou,omitempty" doc:"What it goes by; left out: the computed one to the half thousandth."`
	Core        string     `json:"core"`
	Wraps       []WrapForm `json:"wraps,omitempty" maxItems:"3" doc:"Innermost first; none for a plain string."`
	BallEnd     *bool      `json:"ball_end,omitempty" doc:"True where left out."`
	Yield       Decimal    `json:"yield,omitempty"`
	MinutesEach Decimal    `json:"minutes_each,omitempty"`
}

// WrapForm is one wrap of it.
type WrapForm struct {
	Wire    string  `json:"wire"`
	LayThou Decimal `json:"lay_thou,omitempty" doc:"Left out for touching turns."`
}

func (f RecipeForm) form() intake.RecipeForm {
	form := intake.RecipeForm{Recipe: f.Recipe, GaugeThou: string(f.GaugeThou), Core: f.Core, Yield: string(f.Yield), MinutesEach: string(f.MinutesEach)}
	for _, w := range f.Wraps {
		form.Wraps = append(form.Wraps, intake.WrapForm{Wire: w.Wire, LayThou: string(w.LayThou)})
	}
	if f.BallEnd != nil && !*f.BallEnd {
		form.BallEnd = "no"
	}
	return form
}

type recipeInput struct{ Body RecipeForm }

func (s *server) addRecipe(ctx context.Context, in *recipeInput) (*answer[Recipe], error) {
	made, err := s.shop.MakeRecipe(ctx, in.Body.form())
	return answered(made, err, RecipeBody)
}

// Recipe is how a string is made.
type Recipe struct {
	Recipe      string       `json:"recipe"`
	GaugeThou   float64      `json:"gauge_thou"`
	Core        string       `json:"core"`
	Wraps       []RecipeWrap `json:"wraps"`
	BallEnd     bool         `json:"ball_end"`
	Yield       float64      `json:"yield"`
	MinutesEach float64      `json:"minutes_each"`
}

// RecipeWrap is one wrap of it.
type RecipeWrap struct {
	Wire    string   `json:"wire"`
	LayThou *float64 `json:"lay_thou" doc:"Null for touching turns."`
}

// RecipeBody gives a recipe as JSON.
func RecipeBody(c catalog.Recipe) Recipe {
	body := Recipe{Recipe: string(c.Code), GaugeThou: c.Gauge.Thou(), Core: string(c.Core), Wraps: []RecipeWrap{}, BallEnd: c.BallEnd,
		Yield: c.Yield, MinutesEach: c.MinutesEach.Minutes()}
	for _, w := range c.Wraps {
		wrap := RecipeWrap{Wire: string(w.Wire)}
		if w.Lay != 0 {
			lay := w.Lay.Thou()
			wrap.LayThou = &lay
		}
		body.Wraps = append(body.Wraps, wrap)
	}
	return body
}
