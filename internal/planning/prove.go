package planning

import (
	"fmt"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/planning/sequencing"
)

// prove puts beside a plan what no sequence of its batches can undercut, and says how near it is.
func (d *draft) prove(p *Plan) {
	problem, runs := d.problem()
	d.relax(&problem, runs)
	floor := sequencing.Bound(problem)
	p.SetupBound = time.Duration(max(d.bound(), floor.Setup) + d.spoolBound())
	p.LateBound = floor.Late
	var all []batch.Batch
	for _, day := range p.Machines {
		all = append(all, day.Batches...)
	}
	for _, o := range problem.Orders {
		var ready time.Duration
		for _, j := range o.Batches {
			ready = max(ready, all[j].Ends)
		}
		if over := int64(ready) - o.Due; over > 0 {
			p.Lateness += o.Weight * ((over + problem.Tick - 1) / problem.Tick)
		}
	}
	least := p.Lateness == p.LateBound && p.Setup == p.SetupBound
	p.Optimal = len(runs) == 0 || (d.optimal && d.reserved() == 0)
	p.Proof = proof(p, least)
}

// proof says in words what is shown.
func proof(p *Plan, least bool) string {
	over := "setup is the least possible"
	if p.Setup > p.SetupBound {
		over = fmt.Sprintf("setup is within %s of the least possible if nothing were due", share(p.Setup-p.SetupBound, p.SetupBound))
	}
	switch {
	case p.Optimal:
		return "optimal: all sequences of these batches were compared"
	case least:
		return "optimal: lateness and setup are the least possible"
	case p.Lateness > p.LateBound:
		return fmt.Sprintf("%d minutes late in all, not proven to be the least; %s", p.Lateness, over)
	case p.Lateness > 0:
		return "lateness is the least possible; " + over
	}
	switch n := len(p.Late); n {
	case 0:
		return "nothing in the day is late; " + over
	case 1:
		return "no order that this day completes is late; 1 order is late because it is not complete; " + over
	default:
		return fmt.Sprintf("no order that this day completes is late; %d orders are late because they are not complete; %s", n, over)
	}
}

// share gives a part in percent, rounded up to a tenth.
func share(part, of time.Duration) string {
	if of == 0 {
		return part.String()
	}
	tenths := (int64(part)*1000 + int64(of) - 1) / int64(of)
	return fmt.Sprintf("%d.%d %%", tenths/10, tenths%10)
}

// reserved gives the time kept back for changes of spool.
func (d *draft) reserved() int64 {
	var sum int64
	for m := range d.lanes {
		sum += d.lanes[m].reserve
	}
	return sum
}
