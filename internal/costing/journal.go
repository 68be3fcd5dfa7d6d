package costing

import (
	"fmt"

	"windingroom/internal/calendar"
	"windingroom/internal/money"
)

// Account is a code of the shop's own chart of accounts.
type Account string

// Accounts names the accounts that journal lines are posted to.
type Accounts struct {
	Wire            Account // wire on hand
	NotInvoiced     Account // goods received, not invoiced
	Winding         Account // work in progress: wire drawn and time spent
	Finished        Account // strings made
	Wages           Account // labour absorbed
	Scrap           Account // wire scrapped and written off
	AbnormalScrap   Account // scrap of batches beyond the expected
	UsageVariance   Account // differences of weighings of batches that are finished stock or sold already
	Difference      Account // of weighings and counts
	Revaluation     Account // changes of formula
	PriceDifference Account // of what was consumed before its cost was known
}

// JournalLine is one line for the general ledger. One of Debit and Credit is above zero, the other is zero.
type JournalLine struct {
	Date    calendar.Date
	Account Account
	Debit   money.Minor
	Credit  money.Minor
	Text    string
	Source  string
}

// Balance sums both sides; they are equal for all that Accounts makes.
func Balance(lines []JournalLine) (debit, credit money.Minor) {
	for _, l := range lines {
		debit, credit = debit+l.Debit, credit+l.Credit
	}
	return debit, credit
}

// entry is one amount from one account to another: two lines.
type entry struct {
	debit, credit Account
	amount        money.Minor
	text          string
}

// lines makes two lines of each amount; one below zero swaps its accounts, nothing makes none.
func lines(date calendar.Date, source string, entries ...entry) (out []JournalLine) {
	for _, e := range entries {
		if e.amount < 0 {
			e.debit, e.credit, e.amount = e.credit, e.debit, -e.amount
		}
		if e.amount != 0 {
			out = append(out, JournalLine{Date: date, Account: e.debit, Debit: e.amount, Text: e.text, Source: source},
				JournalLine{Date: date, Account: e.credit, Credit: e.amount, Text: e.text, Source: source})
		}
	}
	return out
}

// Roll posts a roll-forward wire by wire on its last day. What is posted to Wire is closing less opening.
func (a Accounts) Roll(r Roll) (out []JournalLine) {
	for _, l := range r.Lines {
		say := func(what string) string { return fmt.Sprintf("%s, %s", l.Wire, what) }
		out = append(out, lines(r.To.Last(), "roll-forward "+r.Name(),
			entry{a.Wire, a.NotInvoiced, l.Received.Cost, say("received")},
			entry{a.Winding, a.Wire, l.Drawn.Cost, say("drawn by batches")},
			entry{a.Scrap, a.Wire, l.Scrap.Cost, say("scrapped and written off")},
			entry{a.Wire, a.Difference, l.Difference.Cost + l.Used, say("differences of weighings and counts")},
			entry{a.PriceDifference, a.Wire, l.Used, say("late cost of wire that was used")},
			entry{a.Wire, a.Revaluation, l.Revalued.Cost, say("revalued")},
		)...)
	}
	return out
}

// Batch posts a finished batch: labour to Winding, the differences of weighings that it bears from Difference to Winding, and then all of
// Winding to the strings made, to abnormal scrap and to the usage of strings made before. The wire it drew is on Winding by Roll.
func (a Accounts) Batch(date calendar.Date, code string, c BatchCost) []JournalLine {
	return lines(date, "batch "+code,
		entry{a.Winding, a.Wages, c.All.Labour, "labour"},
		entry{a.Winding, a.Difference, c.Charged, "differences of weighings"},
		entry{a.Finished, a.Winding, c.Product().Total(), "strings made"},
		entry{a.AbnormalScrap, a.Winding, c.Abnormal.Total(), "scrap beyond the expected"},
		entry{a.UsageVariance, a.Winding, c.Usage, "usage of strings made before, found by weighing"},
	)
}
