package api

import (
	"context"
	"fmt"
	"math"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/internal/batch"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/planning"
	"windingroom/internal/problem"
	"windingroom/internal/workshop"
)

func (s *server) changes(api huma.API) {
	huma.Register(api, write("/days/{date}/changes", "change-day", "Plan a day again round what the lead wants otherwise, or what happened; released batches move only where a move names them"), s.changeDay)
	huma.Register(api, operation(http.MethodGet, "/days/{date}/differences", "day-differences", "What the day's plan does otherwise than the plan before it"), s.differences)
	huma.Register(api, write("/batches/{batch}/take-back", "take-back-batch", "Make a released batch of which nothing is wound a proposed one again: its wire is free"), s.takeBack)
}

// DayChanges is what the lead wants otherwise. Each says how things shall be: the same again changes nothing.
type DayChanges struct {
	Pin         []string    `json:"pin,omitempty" doc:"Batches that stay on their machine and at their place."`
	Unpin       []string    `json:"unpin,omitempty"`
	Hold        []string    `json:"hold,omitempty" doc:"Batches whose strings are not wound on the day."`
	HoldStrings []HeldForm  `json:"hold_strings,omitempty" doc:"The same, by recipe and scale length."`
	Resume      []HeldForm  `json:"resume,omitempty"`
	Move        []MoveForm  `json:"move,omitempty" doc:"Also of a released batch. It is pinned where it goes."`
	Split       []SplitForm `json:"split,omitempty"`
	Late        []DelayForm `json:"late,omitempty"`
	Down        []string    `json:"down,omitempty" doc:"Machines that wind nothing more but what is released to them."`
	Up          []string    `json:"up,omitempty"`
	OvertimeMin *float64    `json:"overtime_min,omitempty" minimum:"0" maximum:"720" doc:"Allowed on each machine."`
	Anew        bool        `json:"anew,omitempty" doc:"First forget all that was asked before, and plan what is not released anew."`
}

// HeldForm names equal strings.
type HeldForm struct {
	Recipe  string  `json:"recipe"`
	ScaleIn Decimal `json:"scale_in"`
}

// MoveForm is where a batch shall go.
type MoveForm struct {
	Batch   string `json:"batch"`
	Machine string `json:"machine"`
	Place   int    `json:"place" minimum:"1" maximum:"10000" doc:"In the machine's sequence, from 1; beyond its end is the end."`
}

// SplitForm makes a batch of its own of some strings.
type SplitForm struct {
	Batch   string `json:"batch"`
	Strings int    `json:"strings" minimum:"1" maximum:"1000000" doc:"Ordered ones."`
	Machine string `json:"machine,omitempty" doc:"Without it, the one with most time left."`
}

// DelayForm is how much longer a batch takes.
type DelayForm struct {
	Batch   string  `json:"batch"`
	Minutes float64 `json:"minutes" minimum:"0" maximum:"1440" doc:"More than reckoned, in all."`
}

func (f DayChanges) changes() (workshop.DayChanges, error) {
	c := workshop.DayChanges{Pin: codes[batch.Code](f.Pin), Unpin: codes[batch.Code](f.Unpin), Hold: codes[batch.Code](f.Hold),
		Down: codes[catalog.MachineCode](f.Down), Up: codes[catalog.MachineCode](f.Up), Anew: f.Anew}
	var err error
	if c.HoldStrings, err = heldStrings("hold_strings", f.HoldStrings); err != nil {
		return c, err
	}
	if c.Resume, err = heldStrings("resume", f.Resume); err != nil {
		return c, err
	}
	for _, m := range f.Move {
		c.Move = append(c.Move, planning.Move{Batch: batch.Code(m.Batch), Machine: catalog.MachineCode(m.Machine), Place: m.Place})
	}
	for _, x := range f.Split {
		c.Split = append(c.Split, planning.Split{Batch: batch.Code(x.Batch), Strings: x.Strings, Machine: catalog.MachineCode(x.Machine)})
	}
	for _, l := range f.Late {
		c.Late = append(c.Late, planning.Delay{Batch: batch.Code(l.Batch), By: minutes(l.Minutes)})
	}
	if f.OvertimeMin != nil {
		o := minutes(*f.OvertimeMin)
		c.Overtime = &o
	}
	return c, nil
}

func heldStrings(field string, forms []HeldForm) ([]planning.Held, error) {
	var list []planning.Held
	for i, h := range forms {
		scale, err := measure.ParseInches(string(h.ScaleIn))
		if err != nil {
			return nil, problem.At(fmt.Sprintf("body.%s[%d].scale_in", field, i), err)
		}
		list = append(list, planning.Held{Recipe: catalog.RecipeCode(h.Recipe), Scale: scale})
	}
	return list, nil
}

func codes[C ~string](texts []string) []C {
	var list []C
	for _, t := range texts {
		list = append(list, C(t))
	}
	return list
}

func minutes(m float64) time.Duration { return time.Duration(math.Round(m * float64(time.Minute))) }

func (s *server) changeDay(ctx context.Context, in *struct {
	Date string `path:"date" format:"date"`
	Key  string `header:"Idempotency-Key" doc:"The same key posts once."`
	Body DayChanges
}) (*answer[Plan], error) {
	d, err := date("path.date", in.Date)
	if err != nil {
		return nil, err
	}
	c, err := in.Body.changes()
	if err != nil {
		return nil, err
	}
	day, err := s.shop.ReplanDay(ctx, d, c)
	return answered(day, err, PlanBody)
}

// Differences is what a day's plan does otherwise than the plan before it.
type Differences struct {
	Date        string       `json:"date" format:"date"`
	Differences []Difference `json:"differences"`
}

// Difference is what became of one batch. A batch that only made room for another one has not moved.
type Difference struct {
	What         string  `json:"what" enum:"came in,went out,moved,resized,redrawn"`
	Batch        string  `json:"batch"`
	Recipe       string  `json:"recipe"`
	ScaleIn      float64 `json:"scale_in"`
	FromMachine  string  `json:"from_machine,omitempty"`
	FromSequence int     `json:"from_sequence,omitempty"`
	ToMachine    string  `json:"to_machine,omitempty"`
	ToSequence   int     `json:"to_sequence,omitempty"`
	StringsWere  int     `json:"strings_were" doc:"Ordered ones."`
	StringsAre   int     `json:"strings_are"`
	OtherSpools  bool    `json:"other_spools"`
}

func (s *server) differences(ctx context.Context, in *dayInput) (*answer[Differences], error) {
	d, err := date("path.date", in.Date)
	if err != nil {
		return nil, err
	}
	day, err := s.shop.Day(ctx, d)
	return answered(day, err, func(day workshop.DayPlan) Differences {
		return Differences{Date: day.Date.String(), Differences: differenceBodies(day.Differences)}
	})
}

func differenceBodies(list []planning.Difference) []Difference {
	bodies := make([]Difference, len(list))
	for i, d := range list {
		bodies[i] = Difference{
			What: d.What, Batch: string(d.Batch), Recipe: string(d.Recipe), ScaleIn: d.Scale.Inches(), FromMachine: string(d.From.Machine),
			FromSequence: d.From.Place, ToMachine: string(d.To.Machine), ToSequence: d.To.Place, StringsWere: d.Was, StringsAre: d.Is, OtherSpools: d.OtherDraws,
		}
	}
	return bodies
}

func (s *server) takeBack(ctx context.Context, in *struct {
	Batch string `path:"batch"`
	Key   string `header:"Idempotency-Key" doc:"The same key posts once."`
	Body  struct {
		Reason string `json:"reason" maxLength:"1000"`
	}
}) (*answer[Plan], error) {
	day, err := s.shop.TakeBack(ctx, batch.Code(in.Batch), in.Body.Reason)
	return answered(day, err, PlanBody)
}
