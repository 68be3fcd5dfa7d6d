package catalog

import "windingroom/internal/money"

// Supplier is where wire is bought.
type Supplier struct {
	Code         string
	Name         string
	LeadDays     float64 // calendar days from order to receipt
	LeadDaysSD   float64 // spread of the lead time, standard deviation in days
	OrderMinimum money.Minor
	OrderCost    money.Minor // what placing and receiving one order costs the shop
}
