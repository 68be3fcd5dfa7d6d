package planning

import (
	"slices"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

// Ahead is a working day to come.
type Ahead struct {
	Date     calendar.Date
	Receipts []stock.Balance // spools that are there from this day on
	Overtime bool            // the overtime of the input is allowed on this day too
}

// LookAhead plans the day of the input and the days to come after it, with the same engine: each begins with what the day
// before leaves on the machines, on the spools and to wind.
func LookAhead(in Input, days []Ahead) ([]Plan, error) {
	first, err := Propose(in)
	if err != nil {
		return nil, err
	}
	plans := []Plan{first}
	overtime := in.Overtime
	for _, day := range days {
		in = After(in, plans[len(plans)-1])
		in.Date, in.Overtime = day.Date, 0
		if day.Overtime {
			in.Overtime = overtime
		}
		in.Spools = append(in.Spools, day.Receipts...)
		p, err := Propose(in)
		if err != nil {
			return nil, err
		}
		plans = append(plans, p)
	}
	return plans, nil
}

// After gives the room as a plan leaves it, if all goes as planned: what is loaded, what is on the spools, what is left to wind.
func After(in Input, p Plan) Input {
	out := in
	out.Before, out.LastNumber = nil, 0 // are the day's own
	out.Machines, out.Spools, out.Demands = slices.Clone(in.Machines), slices.Clone(in.Spools), nil
	loaded := map[catalog.MachineCode]Loaded{}
	spool := map[stock.SpoolCode]int{}
	type spot struct {
		order          order.Code
		line, position int
	}
	served := map[spot]int{}
	for i := range out.Spools {
		spool[out.Spools[i].Code] = i
	}
	for _, day := range p.Machines {
		loaded[day.Machine] = day.After
		for _, b := range day.Batches {
			for _, d := range b.Draws {
				if i, known := spool[d.Spool]; known {
					out.Spools[i].Mass -= d.Mass
				}
			}
			for _, s := range b.Serves {
				served[spot{s.Order, s.Line, s.Position}] += s.Strings
			}
		}
	}
	for i := range out.Machines {
		out.Machines[i].Loaded = loaded[out.Machines[i].Code]
	}
	for _, d := range in.Demands {
		at := spot{d.Order, d.Line, d.Position}
		done := min(served[at], d.Strings)
		served[at] -= done
		if d.Strings -= done; d.Strings > 0 {
			out.Demands = append(out.Demands, d)
		}
	}
	return out
}
