package catalog

import (
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// Supplier is where wire is bought.
type Supplier struct {
	Code         string
	Name         string
	LeadDays     float64 // calendar days from order to receipt
	LeadDaysSD   float64 // spread of the lead time, standard deviation in days
	OrderMinimum money.Minor
	OrderCost    money.Minor // what placing and receiving one order costs the shop
	Freight      money.Minor // the carriage of one order, on top of its lines
	FreightPerKg money.Minor // and of each kilogram in it
}

// Carriage gives the freight to expect of one order of a mass, to the minor unit.
func (s Supplier) Carriage(mass measure.Mass) money.Minor {
	return s.Freight + money.Share(s.FreightPerKg, int64(mass), int64(measure.Kilogram))
}
