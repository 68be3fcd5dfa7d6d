package workshop

import (
	"context"
	"fmt"
	"slices"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
)

// Bench is what a winder at one machine looks at.
type Bench struct {
	Machine  catalog.MachineCode
	Begins   time.Time    // the machines' day
	Sheet    *batch.Sheet // of the batch to wind; nil where nothing is released
	Loaded   []OnMachine  // core first, then the wraps, innermost first
	Progress batch.Progress
	Winding  time.Duration // so far, for the strings of the tally; zero where that is not known
	Queue    []Queued      // released batches of the machine, by day and sequence; that of Sheet too
}

// OnMachine is the wire to put on, from the spool that the next string is wound from.
type OnMachine struct {
	batch.Load
	Spool    stock.SpoolCode
	Lot      string
	Location string
	Switched bool // another spool than was planned
	Strings  int  // that the spool still has wire for
	Short    bool // that is less than are to be wound
}

// Queued is a released batch that is not finished.
type Queued struct {
	batch.Batch
	Progress batch.Progress
}

// Bench shows the batch to wind on a machine: the one that is asked for, else the one that is begun, else the first that is released
// and not finished. Everyone in the shop may look.
func (s *Shop) Bench(ctx context.Context, machine catalog.MachineCode, code batch.Code) (Bench, error) {
	if _, err := allow(ctx, "seeing the bench", Roles()...); err != nil {
		return Bench{}, err
	}
	out := Bench{Begins: s.begins(s.Today())}
	err := s.Store.Read(ctx, func(r Reader) (err error) {
		if out.Machine, err = machineOf(r, machine); err != nil {
			return err
		}
		if out.Queue, err = queueOf(r, out.Machine); err != nil {
			return err
		}
		q, found := pick(out.Queue, code)
		if code != "" && !found {
			return fmt.Errorf("batch %s is not released to %s: %w", code, out.Machine, ErrNotFound)
		}
		if !found {
			return nil
		}
		out.Progress, out.Winding = q.Progress, q.Progress.Winding(q.Batch, s.Now())
		return out.load(r, q)
	})
	return out, err
}

func machineOf(r Reader, code catalog.MachineCode) (catalog.MachineCode, error) {
	machines, err := r.Machines()
	if err != nil {
		return "", err
	}
	for _, m := range machines {
		if equalCodes(m.Code, code) {
			return m.Code, nil
		}
	}
	return "", fmt.Errorf("machine %s: %w", code, ErrNotFound)
}

func queueOf(r Reader, machine catalog.MachineCode) ([]Queued, error) {
	list, err := r.Batches(BatchFilter{Status: batch.Released})
	if err != nil {
		return nil, err
	}
	list = slices.DeleteFunc(list, func(b batch.Batch) bool { return b.Machine != machine })
	progress, err := progressOf(r, list)
	if err != nil {
		return nil, err
	}
	queue := make([]Queued, len(list))
	for i, b := range list {
		queue[i] = Queued{b, progress[b.Code]}
	}
	return queue, nil
}

// pick finds the batch that was asked for, or that is begun, or that comes first.
func pick(queue []Queued, code batch.Code) (Queued, bool) {
	is := func(q Queued) bool { return equalCodes(q.Code, code) }
	if code == "" {
		is = func(q Queued) bool { return q.Progress.Running() }
	}
	if i := slices.IndexFunc(queue, is); i >= 0 {
		return queue[i], true
	}
	if code == "" && len(queue) > 0 {
		return queue[0], true
	}
	return Queued{}, false
}

// load writes the batch's sheet and finds the spools that are on the machine.
func (v *Bench) load(r Reader, q Queued) error {
	sheet, err := sheetOf(r, q.Batch)
	if err != nil {
		return err
	}
	v.Sheet = &sheet
	results, err := r.Results(q.Code)
	if err != nil {
		return err
	}
	wound := batch.Wound(results)
	next := q.Next(wound, q.Progress.Tally)
	planned := q.Next(wound, batch.Tally{Good: q.Progress.Strings()})
	used, err := q.Take(q.Progress.Strings(), wound, q.Fed(q.Progress.Strings(), wound, q.Progress.Feeds))
	if err != nil {
		return err
	}
	done, _ := q.Progress.Wound()
	for _, load := range append([]batch.Load{sheet.Core}, sheet.Wraps...) {
		spool, err := r.Spool(next[load.Wire])
		if err != nil {
			return err
		}
		on := OnMachine{Load: load, Spool: spool.Code, Lot: spool.Lot, Location: spool.Location, Switched: next[load.Wire] != planned[load.Wire]}
		on.Strings = stringsOn(spool, q.Batch, used, load.Each)
		on.Short = on.Strings < q.ToWind-done && lastOf(q.Batch, on)
		v.Loaded = append(v.Loaded, on)
	}
	return nil
}

// lastOf says whether no further spool of its wire is planned after the one that is on.
func lastOf(b batch.Batch, on OnMachine) bool {
	last := on.Spool
	for _, d := range b.Draws {
		if d.Wire == on.Wire {
			last = d.Spool
		}
	}
	return last == on.Spool || on.Switched
}

// stringsOn gives how many more strings a spool has wire for: what the batch holds of it and what nobody does, less what is counted.
func stringsOn(spool stock.Balance, b batch.Batch, used []batch.SpoolStrings, each measure.MassEach) int {
	have := spool.Free()
	for _, d := range b.Draws {
		if d.Spool == spool.Code {
			have += d.Allocated
		}
	}
	if each <= 0 {
		return 0
	}
	n := int(float64(have) / each.Milligrams())
	for _, u := range used {
		if u.Spool == spool.Code {
			n -= u.Strings
		}
	}
	return max(n, 0)
}

// DayProgress is how far a day has come.
type DayProgress struct {
	Begins time.Time // the machines' day
	Now    time.Time
	Of     map[batch.Code]batch.Progress
	Behind map[catalog.MachineCode]time.Duration // how much later than planned a machine ends; those of which it can be told
}

// Progress tells how far the batches of a day have come. Everyone in the shop may see it.
func (s *Shop) Progress(ctx context.Context, date calendar.Date) (DayProgress, error) {
	if _, err := allow(ctx, "seeing the plan", Roles()...); err != nil {
		return DayProgress{}, err
	}
	out := DayProgress{Begins: s.begins(date), Now: s.Now(), Behind: map[catalog.MachineCode]time.Duration{}}
	err := s.Store.Read(ctx, func(r Reader) error {
		list, err := r.Batches(BatchFilter{Date: date})
		if err != nil {
			return err
		}
		if out.Of, err = progressOf(r, list); err != nil {
			return err
		}
		of := map[catalog.MachineCode][]batch.Batch{}
		for _, b := range list {
			of[b.Machine] = append(of[b.Machine], b)
		}
		for machine, own := range of {
			if late, known := batch.Behind(own, out.Of, out.Begins, out.Now); known && date <= s.Today() {
				out.Behind[machine] = late
			}
		}
		return nil
	})
	return out, err
}

// begins gives when the machines' day begins, by the clock on the wall.
func (s *Shop) begins(date calendar.Date) time.Time {
	y, m, d := date.Time().Date()
	return time.Date(y, m, d, 0, 0, int(s.Opens/time.Second), 0, s.Zone)
}

func progressOf(r Reader, list []batch.Batch) (map[batch.Code]batch.Progress, error) {
	of := map[batch.Code]batch.Progress{}
	var codes []batch.Code
	for _, b := range list {
		codes = append(codes, b.Code)
	}
	marks, err := r.Marks(codes...)
	if err != nil {
		return nil, err
	}
	posted, err := r.Posted(codes...)
	if err != nil {
		return nil, err
	}
	for _, b := range list {
		p := batch.Progress{Tally: batch.Tallied(marks[b.Code]), Posted: posted[b.Code].Results}
		if b.Status == batch.Finished {
			p.DoneAt = posted[b.Code].LastAt
		}
		of[b.Code] = p
	}
	return of, nil
}
