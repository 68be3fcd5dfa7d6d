package workshop

import (
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/purchase"
	"windingroom/internal/replenishment"
	"windingroom/internal/stock"
)

// BuyingReader is what the shop knows of its buying: nightly checks, purchases, answers to alerts, runs of jobs.
type BuyingReader interface {
	// Used gives what was used of every wire from the first to the last day: earlier consumption row by row, and draws, one entry
	// for each wire of a result; what was put back is left out.
	Used(first, last calendar.Date) ([]stock.Usage, error)
	// Changes gives by how much the stock of each wire changed on each day, by wire and day.
	Changes() ([]WireChange, error)
	// Bookings gives the days from booking to winding of what was wound for orders since a day, with the wire it took.
	Bookings(since calendar.Date) ([]replenishment.Notice, error)
	// SetQuantities gives the largest number of each standing set that an order line asked for.
	SetQuantities() (map[catalog.SetCode]int, error)
	// Minimums gives the shop's own minimums of wires.
	Minimums() (map[material.WireCode]measure.Mass, error)
	// Breaks gives the suppliers' price breaks, by wire and mass.
	Breaks() (map[material.WireCode][]replenishment.Break, error)

	// LastNight gives the newest night up to and including a day; ErrNotFound without one.
	LastNight(until calendar.Date) (Night, error)
	// AlertAnswers gives the answers to alerts that hold, the newest of each wire.
	AlertAnswers() (map[material.WireCode]AlertAnswer, error)

	Purchase(code purchase.Code) (purchase.Purchase, error)
	// PurchaseByKey gives the purchase made under an idempotency key; ErrNotFound without one.
	PurchaseByKey(key string) (purchase.Purchase, error)
	Purchases(filter PurchaseFilter) ([]purchase.Purchase, error) // by code
	// PurchaseOf gives the purchases for which spools came; those that came for none are left out.
	PurchaseOf(spools []stock.SpoolCode) (map[stock.SpoolCode]purchase.Code, error)
	PurchaseCodes(prefix string) ([]purchase.Code, error)

	// JobRun gives a job's run for a day; ErrNotFound without one.
	JobRun(job string, day calendar.Date) (JobRun, error)
	// JobRuns gives the last runs, the newest first, at most so many of each job.
	JobRuns(most int) ([]JobRun, error)
	// SentNotices gives what left the shop about a night, by channel.
	SentNotices(night calendar.Date) ([]SentNotice, error)
}

// BuyingTx writes it.
type BuyingTx interface {
	SetMinimum(wire material.WireCode, mass measure.Mass) error // zero for none
	SetBreaks(wire material.WireCode, breaks []replenishment.Break) error

	SaveNight(Night) error // in place of that of its day
	AddAlertAnswer(AlertAnswer) error
	// LapseAlertAnswers ends the answers of some wires.
	LapseAlertAnswers(wires []material.WireCode, on calendar.Date) error

	AddPurchase(purchase.Purchase) error // ErrExists when its code or its key is taken
	// ChangePurchase puts a purchase, spelled as it is kept, in the place of the one that has its version, which it raises by one;
	// ErrChanged when that has changed since. Receipts stay as they are, and once it is no proposal its lines do too.
	ChangePurchase(purchase.Purchase) error
	// AddPurchaseReceipts notes for which purchase spools came; ErrExists when one came for another.
	AddPurchaseReceipts(code purchase.Code, receipts []purchase.Receipt) error

	SaveJobRun(JobRun) error       // in place of that of its job and day
	SaveNotice(n SentNotice) error // in place of that of its night and channel
	// DropAnswers forgets the kept answers of the API that are older than a time, and says how many.
	DropAnswers(before time.Time) (int, error)
}

// WireChange is how much more of a wire there was when a day was over than before.
type WireChange struct {
	Wire material.WireCode
	On   calendar.Date
	Mass measure.Mass
}

// Night is a nightly check as it is kept.
type Night struct {
	Date  calendar.Date // the day it answers for
	RanAt time.Time
	RanBy string
	replenishment.Result
	Slips []Slip // open orders that the days ahead do not wind in time, as they were planned then
}

// Wire finds a wire's night; nil where it has none.
func (n Night) Wire(code material.WireCode) *replenishment.WireNight {
	for i := range n.Wires {
		if n.Wires[i].Wire == code {
			return &n.Wires[i]
		}
	}
	return nil
}

// AlertAnswer is what a person answered to an alert: seen, or let it rest until a day.
type AlertAnswer struct {
	Wire   material.WireCode
	Level  replenishment.Level // it stood at
	Person string
	At     time.Time
	Reason string
	Until  calendar.Date // comes back on this day; zero: seen
}

// Holds says whether the answer still covers an alert: it has not risen since, and the day has not come.
func (a AlertAnswer) Holds(level replenishment.Level, today calendar.Date) bool {
	return a.Level != "" && level != replenishment.None && level.Rank() <= a.Level.Rank() && (a.Until.IsZero() || today < a.Until)
}

// PurchaseFilter narrows a list of purchases; the zero value lists all.
type PurchaseFilter struct {
	Status   purchase.Status // empty for every one
	OpenOnly bool            // proposed or still to come
}

// Outcome is how a run of a job stands.
type Outcome string

// The outcomes.
const (
	Running Outcome = "running"
	Done    Outcome = "done"
	Failed  Outcome = "failed"
)

// JobRun is one run of a job, for a day.
type JobRun struct {
	Job       string
	Day       calendar.Date
	Attempt   int
	StartedAt time.Time
	EndedAt   time.Time // zero while it runs
	Outcome   Outcome
	Found     string // what it found, or why it failed
}

// SentNotice is what left the shop about a night on one channel.
type SentNotice struct {
	Night   calendar.Date
	Channel string
	At      time.Time
	Outcome string // sending, sent or failed
	Detail  string
}
