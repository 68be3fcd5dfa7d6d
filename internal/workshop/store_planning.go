package workshop

import (
	"fmt"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/order"
	"windingroom/internal/planning"
)

// PlanningReader is what the shop knows of its days beyond one plan: what machines are loaded with, which sheets the bench has.
type PlanningReader interface {
	Plan(date calendar.Date) (DayPlan, error)
	// LastBatchNumber gives the highest number that a batch of a day was ever given, in plans that are gone too; zero for none.
	LastBatchNumber(date calendar.Date) (int, error)
	// Loaded gives what each machine had on it after the last day before date of which anything was released, with what is still
	// proposed for that day.
	Loaded(before calendar.Date) (map[catalog.MachineCode]planning.Loaded, error)
	// LastIssues gives the last issue of each of some batches' sheets; batches without any are left out.
	LastIssues(codes []batch.Code) (map[batch.Code]SheetIssue, error)
}

// PlanningTx writes it.
type PlanningTx interface {
	// SavePlan replaces the proposals of a day. Batches that stand (released, finished) stay, with their draws and orders, at the
	// place and times the plan gives them; it fails with ErrReleased when the plan does not hold exactly those that stand.
	SavePlan(DayPlan) error
	// Release marks the proposed batches of a day released; ErrNotFound without a plan, ErrReleased when nothing is left to
	// release.
	Release(date calendar.Date, by string, at time.Time) error
	// TakeBack makes a released batch, which holds no wire any more, a proposed one; ErrChanged when it is not released. A day of
	// which nothing is released any more is a proposal again.
	TakeBack(code batch.Code) error
	// IssueSheets notes that sheets were issued.
	IssueSheets([]SheetIssue) error
}

// DayPlan is a plan as it is kept.
type DayPlan struct {
	planning.Plan
	Released   bool      // everything in it
	ReleasedBy string    // who released anything of it last; empty when nothing is
	ReleasedAt time.Time // when
	ProposedAt time.Time

	Allowed     time.Duration         // overtime on each machine
	Down        []catalog.MachineCode // that wind nothing more but what is released to them
	Differences []planning.Difference // to the plan before
	Cancelled   []Cancelled           // strings of released batches that nobody wants any more, by batch and order
}

// Cancelled is strings of a released batch whose order was cancelled since. The batch stands until it is taken back.
type Cancelled struct {
	Batch   batch.Code
	Order   order.Code
	Strings int
	All     bool // no order wants any string of the batch
}

// String says what there is to do about it.
func (c Cancelled) String() string {
	what := fmt.Sprintf("batch %s winds %d strings for order %s", c.Batch, c.Strings, c.Order)
	if c.Strings == 1 {
		what = fmt.Sprintf("batch %s winds 1 string for order %s", c.Batch, c.Order)
	}
	if c.All {
		return what + ", which is cancelled, and for nobody else: take it back"
	}
	return what + ", which is cancelled: take it back and propose the day again, and it winds only what is wanted"
}

// Standing gives the batches that are released or finished, by machine in sequence.
func (d DayPlan) Standing() []batch.Batch {
	var list []batch.Batch
	for b := range batchesOf(d.Plan) {
		if b.Status == batch.Released || b.Status == batch.Finished {
			list = append(list, b)
		}
	}
	return list
}

// SheetIssue is one issue of a batch's sheet.
type SheetIssue struct {
	Batch   batch.Code
	Version int    // 1 upwards
	Hash    []byte // of what the bench works by
	At      time.Time
	By      string
}
