package api

import (
	"windingroom/internal/batch"
	"windingroom/internal/planning"
	"windingroom/internal/workshop"
)

// Plan is a day's plan.
type Plan struct {
	Date          string       `json:"date" format:"date"`
	Released      bool         `json:"released"`
	Machines      []MachineDay `json:"machines"`
	NotPlanned    []NotPlanned `json:"not_planned"`
	SetupMin      float64      `json:"setup_min"`
	SetupBoundMin float64      `json:"setup_bound_min" doc:"No sequence of these batches on these machines has less setup."`
	LateOrders    []string     `json:"late_orders"`

	LatenessMin        int64        `json:"lateness_min" doc:"Of the orders complete with this day, beyond their due time, weighted."`
	LatenessBoundMin   int64        `json:"lateness_bound_min" doc:"No sequence of these batches has less."`
	Optimal            bool         `json:"optimal" doc:"No sequence of these batches is better."`
	Proof              string       `json:"proof" doc:"How good the plan is shown to be."`
	Pinned             []string     `json:"pinned" doc:"Proposed batches that stay at their place when the day is planned again."`
	Held               []Held       `json:"held" doc:"Strings left out until they are resumed."`
	Down               []string     `json:"down" doc:"Machines that wind nothing more but what is released to them."`
	OvertimeMin        float64      `json:"overtime_min" doc:"That the day takes, of all machines."`
	OvertimeAllowedMin float64      `json:"overtime_allowed_min" doc:"On each machine."`
	Differences        []Difference `json:"differences" doc:"To the plan before this one."`
	Cancelled          []Cancelled  `json:"cancelled" doc:"Strings of released batches whose order was cancelled since; they stand until the batch is taken back."`
}

// Held is strings that are not wound on the day.
type Held struct {
	Recipe  string  `json:"recipe"`
	ScaleIn float64 `json:"scale_in"`
}

// Cancelled is strings of a released batch that nobody wants any more.
type Cancelled struct {
	Batch   string `json:"batch"`
	Order   string `json:"order"`
	Strings int    `json:"strings"`
	Detail  string `json:"detail" doc:"What there is to do."`
}

// MachineDay is one machine's day.
type MachineDay struct {
	Machine string  `json:"machine"`
	Batches []Batch `json:"batches" doc:"In sequence."`
}

// Batch is a run of identical strings. Minutes count from the start of the machine's day.
type Batch struct {
	Batch          string  `json:"batch"`
	Status         string  `json:"status" enum:"proposed,released,finished"`
	Recipe         string  `json:"recipe"`
	ScaleIn        float64 `json:"scale_in"`
	StringsOrdered int     `json:"strings_ordered"`
	StringsToWind  int     `json:"strings_to_wind"`
	SetupMin       float64 `json:"setup_min"`
	RunMin         float64 `json:"run_min"`
	StartsMin      float64 `json:"starts_min"`
	EndsMin        float64 `json:"ends_min"`
	Draws          []Draw  `json:"draws"`
	Orders         []Serve `json:"orders"`
}

// Draw is the wire a batch takes from one spool.
type Draw struct {
	Spool   string `json:"spool"`
	Wire    string `json:"wire"`
	Strings int    `json:"strings"`
	MassMg  int64  `json:"mass_mg"`
}

// Serve says for which string of which order some of the strings are wound.
type Serve struct {
	Order    string `json:"order"`
	Line     int    `json:"line"`
	Position int    `json:"position"`
	Strings  int    `json:"strings"`
}

// NotPlanned is a number of strings that did not get into the day.
type NotPlanned struct {
	Order    string `json:"order"`
	Line     int    `json:"line"`
	Position int    `json:"position"`
	Strings  int    `json:"strings"`
	Why      string `json:"why" enum:"wire,time,machine"`
	Detail   string `json:"detail"`
}

// PlanBody gives a day's plan as JSON.
func PlanBody(day workshop.DayPlan) Plan {
	body := Plan{
		Date: day.Date.String(), Released: day.Released, Machines: []MachineDay{}, NotPlanned: notPlannedBodies(day.NotPlanned),
		SetupMin: day.Setup.Minutes(), SetupBoundMin: day.SetupBound.Minutes(), LateOrders: texts(day.Late),
		LatenessMin: day.Lateness, LatenessBoundMin: day.LateBound, Optimal: day.Optimal, Proof: day.Proof, Pinned: texts(day.Pinned), Held: []Held{},
		Down: texts(day.Down), OvertimeMin: day.Overtime.Minutes(), OvertimeAllowedMin: day.Allowed.Minutes(), Differences: differenceBodies(day.Differences),
		Cancelled: []Cancelled{},
	}
	for _, c := range day.Cancelled {
		body.Cancelled = append(body.Cancelled, Cancelled{string(c.Batch), string(c.Order), c.Strings, c.String()})
	}
	for _, h := range day.Held {
		body.Held = append(body.Held, Held{Recipe: string(h.Recipe), ScaleIn: h.Scale.Inches()})
	}
	for _, m := range day.Machines {
		machine := MachineDay{Machine: string(m.Machine), Batches: []Batch{}}
		for _, b := range m.Batches {
			machine.Batches = append(machine.Batches, batchBody(b))
		}
		body.Machines = append(body.Machines, machine)
	}
	return body
}

func notPlannedBodies(list []planning.NotPlanned) []NotPlanned {
	bodies := make([]NotPlanned, len(list))
	for i, n := range list {
		bodies[i] = NotPlanned{Order: string(n.Order), Line: n.Line, Position: n.Position, Strings: n.Strings, Why: string(n.Why), Detail: n.Detail}
	}
	return bodies
}

func batchBody(b batch.Batch) Batch {
	body := Batch{
		Batch: string(b.Code), Status: string(b.Status), Recipe: string(b.Recipe), ScaleIn: b.Scale.Inches(), StringsOrdered: b.Ordered, StringsToWind: b.ToWind,
		SetupMin: b.Setup.Minutes(), RunMin: b.Run.Minutes(), StartsMin: b.Starts.Minutes(), EndsMin: b.Ends.Minutes(),
		Draws: []Draw{}, Orders: []Serve{},
	}
	for _, d := range b.Draws {
		body.Draws = append(body.Draws, Draw{Spool: string(d.Spool), Wire: string(d.Wire), Strings: d.Strings, MassMg: int64(d.Mass)})
	}
	for _, sv := range b.Serves {
		body.Orders = append(body.Orders, Serve{Order: string(sv.Order), Line: sv.Line, Position: sv.Position, Strings: sv.Strings})
	}
	return body
}
