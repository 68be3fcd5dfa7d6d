package buying

import (
	"fmt"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/money"
	"windingroom/internal/replenishment"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// buyingPage answers the owner's question of the morning: what do we order today, from whom, how much, why, by when, and what happens if not?
type buyingPage struct {
	page.Frame
	CanAnswer bool
	CanBuy    bool
	Tomorrow  string     // YYYY-MM-DD, the first day on which an alert may come back
	Night     *nightView // nil before the first night
	Purchases []purchaseView
}

type nightView struct {
	Name     string
	RanAt    string
	RanBy    string
	Old      bool // of a day before today
	Headline string
	Orders   []supplierOrder
	Alerts   []alertView // that nobody has answered, the most urgent first
	Answered []alertView
	Risks    []riskView
}

// supplierOrder is what the night asks for from one supplier.
type supplierOrder struct {
	Supplier string
	Due      string // order today, at once, or by a day
	Past     bool   // should have been ordered before the night
	Total    string
	Note     string // why it stays below the supplier's minimum; empty where it does not
	Lines    []orderLine
}

type orderLine struct{ Wire, Packs, Kg, Cost, Why string }

type alertView struct {
	Wire     string
	Level    string
	Why      string
	RunsOut  string
	OrderBy  string
	Past     bool
	Order    string // what the night asks for; empty where nothing
	Changed  string
	AtRisk   []string
	Answer   string
	Returned string // the day on which an answered alert comes back; empty: when it rises
}

type riskView struct {
	Order string
	Wires []string
}

// purchaseView is a purchase that is proposed or still to come.
type purchaseView struct {
	Code     string
	Supplier string
	Status   string
	Total    string
	Lines    []string
	Due      string
	Late     bool
}

func newNight(n workshop.NightReport, today calendar.Date, u units.Units) *nightView {
	v := &nightView{Name: u.LongDate(n.Date), RanAt: u.Moment(n.RanAt), RanBy: n.RanBy, Old: n.Date < today, Headline: counted(n)}
	asked := map[material.WireCode]string{}
	for _, p := range n.Purchases {
		v.Orders = append(v.Orders, newSupplierOrder(p, n))
		for _, l := range p.Lines {
			asked[l.Wire] = fmt.Sprintf("%s, %s kg, from %s", page.Plural(l.Packs, "pack", "packs"), l.Mass.KilogramText(), p.Supplier)
		}
	}
	for _, w := range n.Alerts() {
		a := newAlert(w, asked[w.Wire], today)
		if answer, ok := n.Answers[w.Wire]; ok {
			a.Answer = fmt.Sprintf("%s, %s: %s", answer.Person, u.Moment(answer.At), answer.Reason)
			a.Returned = answer.Until.String()
			v.Answered = append(v.Answered, a)
		} else {
			v.Alerts = append(v.Alerts, a)
		}
	}
	for _, o := range replenishment.OrdersAtRisk(n.Wires) {
		v.Risks = append(v.Risks, riskView{string(o.Order), page.Texts(o.Wires)})
	}
	return v
}

// counted says how many wires stand at each level.
func counted(n workshop.NightReport) string {
	counts := map[replenishment.Level]int{}
	for _, w := range n.Wires {
		counts[w.Alert]++
	}
	return fmt.Sprintf("%d late, %d to order, %d to watch, of %s", counts[replenishment.Late], counts[replenishment.Order], counts[replenishment.Watch],
		page.Plural(len(n.Wires), "wire", "wires"))
}

func newSupplierOrder(p replenishment.Purchase, n workshop.NightReport) supplierOrder {
	v := supplierOrder{Supplier: p.Supplier, Due: replenishment.Due(p.OrderBy, n.Date), Past: p.OrderBy < n.Date, Total: n.Sum(p), Note: p.Note}
	for _, l := range p.Lines {
		v.Lines = append(v.Lines, orderLine{string(l.Wire), fmt.Sprint(l.Packs), l.Mass.KilogramText(), n.Currency.Text(l.Cost), l.Reason()})
	}
	return v
}

func newAlert(w replenishment.WireNight, order string, today calendar.Date) alertView {
	v := alertView{Wire: string(w.Wire), Level: string(w.Alert), Why: w.Why, OrderBy: w.OrderBy.String(), Order: order, Changed: w.Changed,
		AtRisk: page.Texts(w.AtRisk), RunsOut: "not within a year"}
	v.Past = !w.OrderBy.IsZero() && w.OrderBy < today
	if !w.RunOut.IsZero() {
		v.RunsOut = w.RunOut.String()
	}
	if soon := w.RunOutSoon; !soon.IsZero() && soon != w.RunOut {
		v.RunsOut += fmt.Sprintf(", %s at the earliest", soon)
	}
	return v
}

func purchasesView(list []workshop.PurchaseStory, today calendar.Date) []purchaseView {
	var all []purchaseView
	for _, p := range list {
		v := purchaseView{Code: string(p.Code), Supplier: p.From.Name, Status: string(p.Status), Total: priced(p.Currency, p.Total()), Due: p.DueOn().String()}
		v.Late = !p.DueOn().IsZero() && p.DueOn() < today
		for _, l := range p.Lines {
			text := fmt.Sprintf("%s %s kg", l.Wire, l.Mass.KilogramText())
			if l.Received > 0 {
				text += fmt.Sprintf(", %s kg came", l.Received.KilogramText())
			}
			v.Lines = append(v.Lines, text)
		}
		all = append(all, v)
	}
	return all
}

func priced(c money.Currency, amount money.Minor) string { return c.Text(amount) + " " + string(c) }
