package api

import (
	"context"

	"windingroom/internal/workshop"
)

// Ahead is the working days to come as they would be planned today.
type Ahead struct {
	From string     `json:"from" format:"date" doc:"The first working day."`
	Days []AheadDay `json:"days"`
}

// AheadDay is one of them.
type AheadDay struct {
	Date        string         `json:"date" format:"date"`
	Machines    []AheadMachine `json:"machines"`
	Completed   []string       `json:"completed_orders" doc:"Whose last strings are wound that day."`
	LateOrders  []string       `json:"late_orders" doc:"Due before the day, or due on it and not planned whole."`
	NotPlanned  []NotPlanned   `json:"not_planned" doc:"What is still open when the day is done."`
	SetupMin    float64        `json:"setup_min"`
	LatenessMin int64          `json:"lateness_min"`
}

// AheadMachine is what a machine has to do on a day.
type AheadMachine struct {
	Machine  string  `json:"machine"`
	Minutes  float64 `json:"minutes" doc:"It is worked; 0 where it is down."`
	SetupMin float64 `json:"setup_min"`
	RunMin   float64 `json:"run_min"`
	Batches  int     `json:"batches"`
}

func (s *server) ahead(ctx context.Context, in *struct {
	From string `query:"from" format:"date" doc:"Without it, the shop's present day."`
	Days int    `query:"days" minimum:"1" maximum:"30" default:"10" doc:"Working days."`
}) (*answer[Ahead], error) {
	from := s.shop.Today()
	if in.From != "" {
		var err error
		if from, err = date("query.from", in.From); err != nil {
			return nil, err
		}
	}
	days, err := s.shop.LookAhead(ctx, from, in.Days)
	return answered(days, err, AheadBody)
}

// AheadBody gives days to come as JSON.
func AheadBody(days []workshop.AheadDay) Ahead {
	body := Ahead{Days: []AheadDay{}}
	for _, d := range days {
		day := AheadDay{
			Date: d.Date.String(), Machines: []AheadMachine{}, Completed: texts(d.Completed), LateOrders: texts(d.Late),
			NotPlanned: notPlannedBodies(d.NotPlanned), SetupMin: d.Setup.Minutes(), LatenessMin: d.Lateness,
		}
		for _, l := range d.Loads {
			day.Machines = append(day.Machines, AheadMachine{
				Machine: string(l.Machine), Minutes: l.Minutes.Minutes(), SetupMin: l.Setup.Minutes(), RunMin: l.Run.Minutes(), Batches: l.Batches,
			})
		}
		body.Days = append(body.Days, day)
	}
	if len(body.Days) > 0 {
		body.From = body.Days[0].Date
	}
	return body
}
