package costing

import (
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
