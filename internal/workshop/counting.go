package workshop

import (
	"cmp"
	"context"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// mostToWeigh is the length of the day's list: what one person weighs in passing. Judgement, no source.
const mostToWeigh = 10

// CountList is the spools to weigh on a day, riskiest first.
type CountList struct {
	Date     calendar.Date
	Currency money.Currency
	Rows     []CountRow
}

// CountRow is one spool to weigh.
type CountRow struct {
	stock.ToWeigh
	Balance     stock.Balance
	Class       stock.Class
	WeighedOn   calendar.Date // zero: never
	Uncertainty measure.Mass  // of the balance, k = 2
}

// ToWeigh gives the short list of a day: the balances that matter most and are known least. Classes are by the value of the wire
// used in the year before. Everyone in the shop may see it.
func (s *Shop) ToWeigh(ctx context.Context, date calendar.Date) (CountList, error) {
	if _, err := allow(ctx, "seeing the stock", Roles()...); err != nil {
		return CountList{}, err
	}
	list := CountList{Date: date}
	err := s.Store.Read(ctx, func(r Reader) error {
		practice, err := r.Practice()
		if err != nil {
			return err
		}
		list.Currency = practice.Currency
		watched, err := watchedSpools(r, date, stock.Scale{Resolution: practice.ScaleResolution})
		if err != nil {
			return err
		}
		of := make(map[stock.SpoolCode]stock.Watched, len(watched))
		for _, w := range watched {
			of[w.Balance.Code] = w
		}
		for _, t := range stock.ToWeighToday(watched, date, mostToWeigh) {
			w := of[t.Spool]
			list.Rows = append(list.Rows, CountRow{t, w.Balance, w.Class, w.WeighedOn, w.Uncertainty})
		}
		return nil
	})
	return list, err
}

func watchedSpools(r Reader, date calendar.Date, scale stock.Scale) ([]stock.Watched, error) {
	spools, err := r.Spools()
	if err != nil {
		return nil, err
	}
	watches, err := r.Watches()
	if err != nil {
		return nil, err
	}
	classes, err := classesOf(r, date)
	if err != nil {
		return nil, err
	}
	types, err := spoolTypes(r)
	if err != nil {
		return nil, err
	}
	spreads := make(map[string]measure.Mass, len(types))
	for _, t := range types {
		spreads[t.Name] = t.Spread()
	}
	watched := make([]stock.Watched, len(spools))
	for i, b := range spools {
		w := watches[b.Code]
		watched[i] = stock.Watched{
			Balance: b, Class: cmp.Or(classes[b.Wire], stock.ClassC), WeighedOn: w.WeighedOn,
			Uncertainty: stock.BookUncertainty(scale, w.Drawn).Expanded() + spreads[b.Type],
		}
	}
	return watched, nil
}

// classesOf gives wires their classes by the value used in the year up to a day. A wire's price is its list price, or without
// one what its spools cost.
func classesOf(r Reader, date calendar.Date) (map[material.WireCode]stock.Class, error) {
	used, err := r.WireUsed(date-364, date)
	if err != nil {
		return nil, err
	}
	wires, err := r.Wires()
	if err != nil {
		return nil, err
	}
	spools, err := r.Spools()
	if err != nil {
		return nil, err
	}
	cost, net := map[material.WireCode]money.Minor{}, map[material.WireCode]measure.Mass{}
	for _, b := range spools {
		cost[b.Wire] += b.Cost
		net[b.Wire] += b.Net()
	}
	uses := make([]stock.YearlyUse, 0, len(used))
	for _, w := range wires {
		price, per := w.PricePerKg, measure.Kilogram
		if price == 0 {
			price, per = cost[w.Code], net[w.Code]
		}
		uses = append(uses, stock.YearlyUse{Wire: w.Code, Value: money.Share(price, int64(used[w.Code]), int64(per))})
	}
	return stock.Classify(uses), nil
}

// RecordAccuracy is how many of the balances that were weighed in some days were right.
type RecordAccuracy struct {
	First, Last calendar.Date
	All         stock.Accuracy
	Classes     []ClassAccuracy // A, B, C
	Months      []MonthAccuracy // those in which something was weighed, in order
}

// ClassAccuracy is the accuracy of one class.
type ClassAccuracy struct {
	Class stock.Class
	stock.Accuracy
}

// MonthAccuracy is the accuracy of one month.
type MonthAccuracy struct {
	Month string // YYYY-MM
	stock.Accuracy
}

// Accuracy gives the record accuracy over the days from first to last. Classes are those of the last day. Everyone in the shop
// may see it.
func (s *Shop) Accuracy(ctx context.Context, first, last calendar.Date) (RecordAccuracy, error) {
	if _, err := allow(ctx, "seeing the stock", Roles()...); err != nil {
		return RecordAccuracy{}, err
	}
	if last < first {
		return RecordAccuracy{}, wrong("to", "%s is before %s", last, first)
	}
	a := RecordAccuracy{First: first, Last: last}
	err := s.Store.Read(ctx, func(r Reader) error {
		weighings, err := r.Weighings(first, last)
		if err != nil {
			return err
		}
		classes, err := classesOf(r, last)
		if err != nil {
			return err
		}
		spools, err := r.Spools()
		if err != nil {
			return err
		}
		class := make(map[stock.SpoolCode]stock.Class, len(spools))
		for _, b := range spools {
			class[b.Code] = cmp.Or(classes[b.Wire], stock.ClassC)
		}
		counts := make([]stock.Counted, len(weighings))
		for i, w := range weighings {
			counts[i] = stock.Counted{On: w.Movement.EffectiveOn, Class: class[w.Movement.Spool], Book: w.Book, Found: w.Net, Uncertainty: w.Uncertainty}
		}
		a.sum(counts)
		return nil
	})
	return a, err
}

// sum adds up the counts as a whole, by class and by month.
func (a *RecordAccuracy) sum(counts []stock.Counted) {
	classes, months := map[stock.Class][]stock.Counted{}, map[string][]stock.Counted{}
	for _, c := range counts {
		month := c.On.String()[:len("2026-03")]
		classes[c.Class] = append(classes[c.Class], c)
		months[month] = append(months[month], c)
	}
	over := func(list []stock.Counted) stock.Accuracy { return stock.AccuracyOver(list, a.First, a.Last) }
	a.All = over(counts)
	for _, c := range []stock.Class{stock.ClassA, stock.ClassB, stock.ClassC} {
		a.Classes = append(a.Classes, ClassAccuracy{c, over(classes[c])})
	}
	for _, m := range sortedKeys(months) {
		a.Months = append(a.Months, MonthAccuracy{m, over(months[m])})
	}
}
