package api

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/internal/catalog"
	"windingroom/internal/intake"
)

func (s *server) standingSets(api huma.API) {
	huma.Register(api, operation(http.MethodGet, "/sets", "standing-sets", "The standing sets"), s.listSets)
	keep := write("/sets", "keep-set", "Make a set a standing one. The same one again changes nothing; one that was retired may be kept again")
	keep.DefaultStatus = http.StatusCreated
	huma.Register(api, keep, s.keepSet)
	change := write("/sets/{set}", "change-set", "Give a standing set other strings; orders that have it keep their own")
	change.Method = http.MethodPut
	huma.Register(api, change, s.changeSet)
	huma.Register(api, write("/sets/{set}/retire", "retire-set", "Take a set out of the standing ones; orders that have it keep it"), s.retireSet)
}

// SetForm is a standing set to keep, or the new strings of one.
type SetForm struct {
	Set     string          `json:"set,omitempty" doc:"Needed where the address does not name it." example:"harbour-7"`
	Strings []SetFormString `json:"strings" doc:"In the order of their positions."`
}

// SetFormString is one string of it.
type SetFormString struct {
	Recipe  string  `json:"recipe"`
	ScaleIn Decimal `json:"scale_in"`
	Pitch   string  `json:"pitch" doc:"E4, F#2, Bb1 or hertz."`
}

func (f SetForm) form(code string) intake.SetForm {
	form := intake.SetForm{Set: code}
	for _, s := range f.Strings {
		form.Strings = append(form.Strings, intake.SetFormString{Recipe: s.Recipe, Scale: string(s.ScaleIn), Pitch: s.Pitch})
	}
	return form
}

func (s *server) listSets(ctx context.Context, _ *struct{}) (*answer[Sets], error) {
	parts, err := s.shop.SetParts(ctx)
	return answered(parts.Sets, err, SetsBody)
}

func (s *server) keepSet(ctx context.Context, in *struct {
	Key  string `header:"Idempotency-Key" doc:"The same key posts once."`
	Body SetForm
}) (*answer[Set], error) {
	set, err := s.shop.KeepSet(ctx, in.Body.form(in.Body.Set))
	return answered(set, err, SetBody)
}

func (s *server) changeSet(ctx context.Context, in *struct {
	Set  string `path:"set"`
	Body SetForm
}) (*answer[Set], error) {
	set, err := s.shop.ChangeSet(ctx, in.Body.form(in.Set))
	return answered(set, err, SetBody)
}

func (s *server) retireSet(ctx context.Context, in *struct {
	Set string `path:"set"`
	Key string `header:"Idempotency-Key" doc:"The same key posts once."`
}) (*answer[Set], error) {
	set, err := s.shop.RetireSet(ctx, catalog.SetCode(in.Set))
	return answered(set, err, SetBody)
}

// Sets lists the standing sets.
type Sets struct {
	Sets []Set `json:"sets"`
}

// Set is a standing set.
type Set struct {
	Set     string        `json:"set"`
	Strings []SetPosition `json:"strings"`
}

// SetPosition is one string of it.
type SetPosition struct {
	Position int     `json:"position"`
	Recipe   string  `json:"recipe"`
	ScaleIn  float64 `json:"scale_in"`
	Pitch    string  `json:"pitch"`
}

// SetBody gives a standing set as JSON.
func SetBody(set catalog.Set) Set {
	body := Set{Set: string(set.Code), Strings: []SetPosition{}}
	for _, p := range set.Positions {
		body.Strings = append(body.Strings, SetPosition{Position: p.Number, Recipe: string(p.Recipe), ScaleIn: p.Scale.Inches(), Pitch: p.Pitch})
	}
	return body
}

// SetsBody gives standing sets as JSON.
func SetsBody(sets []catalog.Set) Sets {
	body := Sets{Sets: []Set{}}
	for _, s := range sets {
		body.Sets = append(body.Sets, SetBody(s))
	}
	return body
}
