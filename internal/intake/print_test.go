package intake_test

import (
	"encoding/csv"
	"strconv"
	"strings"
	"time"

	"windingroom/internal/catalog"
	"windingroom/internal/intake"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// printFacts writes facts as the import files they could have come from.
func printFacts(f intake.Facts, currency money.Currency) folder {
	out := folder{}
	alloys := newSheet("alloy,name,density_kg_m3,ferromagnetic,core,wrap,source,nickel,tarnishes")
	for _, a := range f.Alloys {
		alloys.row(string(a.Code), a.Name, number(float64(a.Density)), string(a.Ferromagnetic), yesNo(a.Core), yesNo(a.Wrap), a.Source, string(a.Nickel), string(a.Tarnishes))
	}
	wires := newSheet("wire,alloy,section,size_thou,thickness_thou,usable_end_g,supplier,pack_kg,price_per_kg,across")
	for _, w := range f.Wires {
		wires.row(string(w.Code), string(w.Alloy), string(w.Form.Section), w.Form.Size.ThouText(), thouOrNone(w.Form.Thickness),
			w.UsableEnd.GramText(), w.Supplier, w.Pack.KilogramText(), currency.Text(w.PricePerKg), string(w.Form.Across))
	}
	suppliers := newSheet("supplier,name,lead_days,lead_days_sd,order_minimum,order_cost,freight,freight_per_kg")
	for _, s := range f.Suppliers {
		suppliers.row(s.Code, s.Name, number(s.LeadDays), number(s.LeadDaysSD), currency.Text(s.OrderMinimum), currency.Text(s.OrderCost),
			currency.Text(s.Freight), currency.Text(s.FreightPerKg))
	}
	spools := newSheet("spool,wire,lot,received_on,gross_g,tare_g,cost,location")
	for _, s := range f.Spools {
		spools.row(string(s.Code), string(s.Wire), s.Lot, s.ReceivedOn.String(), s.Gross.GramText(), s.Tare.GramText(), currency.Text(s.Cost), s.Location)
	}
	machines := newSheet("machine,winds,longest_mm,minutes_per_day,shifts")
	for _, m := range f.Machines {
		machines.row(string(m.Code), string(m.Winds), m.Longest.MillimetreText(), minutes(m.PerDay), string(m.Shifts))
	}
	usage := newSheet("used_on,wire,mass_g,order")
	for _, u := range f.Usage {
		usage.row(u.On.String(), string(u.Wire), u.Mass.GramText(), u.Order)
	}
	out["alloys.csv"], out["wires.csv"], out["suppliers.csv"] = alloys.text(), wires.text(), suppliers.text()
	out["spools.csv"], out["machines.csv"], out["usage.csv"] = spools.text(), machines.text(), usage.text()
	out["recipes.csv"], out["sets.csv"], out["orders.csv"] = printRecipes(f), printSets(f), printOrders(f)
	if f.Practice != nil {
		out["practice.csv"] = printPractice(*f.Practice)
	}
	return out
}

func printRecipes(f intake.Facts) string {
	recipes := newSheet("recipe,gauge_thou,core,wrap_1,wrap_2,wrap_3,lay_1_thou,lay_2_thou,lay_3_thou,ball_end,yield,minutes_each")
	for _, r := range f.Recipes {
		var wraps, lays [catalog.MaxWraps]string
		for i, w := range r.Wraps {
			wraps[i], lays[i] = string(w.Wire), thouOrNone(w.Lay)
		}
		recipes.row(string(r.Code), r.Gauge.ThouText(), string(r.Core), wraps[0], wraps[1], wraps[2], lays[0], lays[1], lays[2],
			yesNo(r.BallEnd), number(r.Yield), minutes(r.MinutesEach))
	}
	return recipes.text()
}

func printSets(f intake.Facts) string {
	sets := newSheet("set,position,recipe,scale_in,pitch")
	for _, s := range f.Sets {
		for _, p := range s.Positions {
			sets.row(string(s.Code), strconv.Itoa(p.Number), string(p.Recipe), p.Scale.InchText(), p.Pitch)
		}
	}
	return sets.text()
}

func printOrders(f intake.Facts) string {
	orders := newSheet("order,line,ordered_on,due_on,customer,set,quantity,position,recipe,scale_in,pitch")
	for _, o := range f.Orders {
		for _, l := range o.Lines {
			head := []string{string(o.Code), strconv.Itoa(l.Number), o.OrderedOn.String(), o.DueOn.String(), o.Customer, string(l.Set), strconv.Itoa(l.Quantity)}
			if l.Set != "" {
				orders.row(append(head, "", "", "", "")...)
				continue
			}
			for _, s := range l.Strings {
				orders.row(append(head[:7:7], strconv.Itoa(s.Position), string(s.Recipe), s.Scale.InchText(), s.Pitch)...)
			}
		}
	}
	return orders.text()
}

func printPractice(p catalog.Practice) string {
	practice := newSheet("setting,value")
	practice.row("ball_end_allowance_mm", p.BallEnd.MillimetreText())
	practice.row("tail_mm", p.Tail.MillimetreText())
	practice.row("head_mm", p.Head.MillimetreText())
	practice.row("chuck_waste_mm", p.ChuckWaste.MillimetreText())
	practice.row("wrap_beyond_nut_mm", p.WrapBeyondNut.MillimetreText())
	practice.row("wrap_waste_turns", number(p.WasteTurns))
	practice.row("change_core_min", minutes(p.ChangeCore))
	practice.row("change_wrap_min", minutes(p.ChangeWrap))
	practice.row("change_length_min", minutes(p.ChangeLength))
	practice.row("change_spool_min", minutes(p.ChangeSpool))
	practice.row("scale_resolution_g", p.ScaleResolution.GramText())
	practice.row("loss_of_drawn", number(p.LossOfDrawn))
	practice.row("loss_of_received", number(p.LossOfReceived))
	practice.row("caution_breaking_share", number(p.CautionShare))
	practice.row("refuse_breaking_share", number(p.RefuseShare))
	practice.row("core_share_least", number(p.LeastCore))
	practice.row("core_share_most", number(p.MostCore))
	practice.row("wrap_share_most", number(p.MostWrap))
	practice.row("added_tension_n", number(float64(p.AddedTension)))
	practice.row("labour_per_hour", p.Currency.Text(p.LabourPerHour))
	practice.row("margin", number(p.Margin))
	practice.row("completion_confidence", number(p.CompletionConfidence))
	practice.row("currency", string(p.Currency))
	practice.row("buying_service", number(p.Buying.Service))
	practice.row("buying_review_days", strconv.Itoa(p.Buying.ReviewDays))
	practice.row("buying_receiving_days", strconv.Itoa(p.Buying.ReceivingDays))
	practice.row("buying_carrying_rate", number(p.Buying.CarryingRate))
	practice.row("buying_line_cost", p.Currency.Text(p.Buying.LineCost))
	practice.row("buying_watch_days", strconv.Itoa(p.Buying.WatchDays))
	practice.row("buying_cover_days", strconv.Itoa(p.Buying.CoverDays))
	return practice.text()
}

type sheet struct {
	b strings.Builder
	w *csv.Writer
}

func newSheet(header string) *sheet {
	s := &sheet{}
	s.w = csv.NewWriter(&s.b)
	s.row(strings.Split(header, ",")...)
	return s
}

// row and text never fail: a builder takes everything.
func (s *sheet) row(fields ...string) { _ = s.w.Write(fields) }

func (s *sheet) text() string {
	s.w.Flush()
	return s.b.String()
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func minutes(d time.Duration) string { return number(float64(d/time.Millisecond) / 60_000) }

func yesNo(v bool) string {
	if v {
		return "yes"
	}
	return "no"
}

func thouOrNone(s measure.Size) string {
	if s == 0 {
		return ""
	}
	return s.ThouText()
}
