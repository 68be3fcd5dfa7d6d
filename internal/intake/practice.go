package intake

import (
	"strings"
	"time"

	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// setting is one name that practice.csv may set. read gives what it does to the practice, having told what is wrong; an amount is read once
// the currency is known.
type setting struct {
	name   string
	read   func(*row) func(*catalog.Practice)
	amount func(*catalog.Practice) *money.Minor
}

var settings = []setting{
	millimetreSetting("ball_end_allowance_mm", func(p *catalog.Practice) *measure.Size { return &p.BallEnd }),
	millimetreSetting("tail_mm", func(p *catalog.Practice) *measure.Size { return &p.Tail }),
	millimetreSetting("head_mm", func(p *catalog.Practice) *measure.Size { return &p.Head }),
	millimetreSetting("chuck_waste_mm", func(p *catalog.Practice) *measure.Size { return &p.ChuckWaste }),
	millimetreSetting("wrap_beyond_nut_mm", func(p *catalog.Practice) *measure.Size { return &p.WrapBeyondNut }),
	numberSetting("wrap_waste_turns", 0, 1000, func(p *catalog.Practice) *float64 { return &p.WasteTurns }),
	minuteSetting("change_core_min", func(p *catalog.Practice) *time.Duration { return &p.ChangeCore }),
	minuteSetting("change_wrap_min", func(p *catalog.Practice) *time.Duration { return &p.ChangeWrap }),
	minuteSetting("change_length_min", func(p *catalog.Practice) *time.Duration { return &p.ChangeLength }),
	minuteSetting("change_spool_min", func(p *catalog.Practice) *time.Duration { return &p.ChangeSpool }),
	{"scale_resolution_g", readScaleResolution, nil},
	numberSetting("loss_of_drawn", 0, 1, func(p *catalog.Practice) *float64 { return &p.LossOfDrawn }),
	numberSetting("loss_of_received", 0, 1, func(p *catalog.Practice) *float64 { return &p.LossOfReceived }),
	numberSetting("completion_confidence", 0.5, 0.999999, func(p *catalog.Practice) *float64 { return &p.CompletionConfidence }),
	numberSetting("caution_breaking_share", 0, 1, func(p *catalog.Practice) *float64 { return &p.CautionShare }),
	numberSetting("refuse_breaking_share", 0, 1, func(p *catalog.Practice) *float64 { return &p.RefuseShare }),
	numberSetting("core_share_least", 0, 1, func(p *catalog.Practice) *float64 { return &p.LeastCore }),
	numberSetting("core_share_most", 0, 1, func(p *catalog.Practice) *float64 { return &p.MostCore }),
	numberSetting("wrap_share_most", 0, 10, func(p *catalog.Practice) *float64 { return &p.MostWrap }),
	numberSetting("added_tension_n", 0, 10_000, func(p *catalog.Practice) *float64 { return (*float64)(&p.AddedTension) }),
	{"labour_per_hour", nil, func(p *catalog.Practice) *money.Minor { return &p.LabourPerHour }},
	numberSetting("margin", 0, 0.99, func(p *catalog.Practice) *float64 { return &p.Margin }),
	{currencySetting, readCurrency, nil},
	numberSetting("buying_service", 0.5, 0.999, func(p *catalog.Practice) *float64 { return &p.Buying.Service }),
	daySetting("buying_review_days", 1, 91, func(p *catalog.Practice) *int { return &p.Buying.ReviewDays }),
	daySetting("buying_receiving_days", 0, 91, func(p *catalog.Practice) *int { return &p.Buying.ReceivingDays }),
	numberSetting("buying_carrying_rate", 0.01, 2, func(p *catalog.Practice) *float64 { return &p.Buying.CarryingRate }),
	{"buying_line_cost", nil, func(p *catalog.Practice) *money.Minor { return &p.Buying.LineCost }},
	daySetting("buying_watch_days", 0, 182, func(p *catalog.Practice) *int { return &p.Buying.WatchDays }),
	daySetting("buying_cover_days", 7, 3650, func(p *catalog.Practice) *int { return &p.Buying.CoverDays }),
}

const currencySetting = "currency"

func millimetreSetting(name string, field func(*catalog.Practice) *measure.Size) setting {
	return setting{name, func(r *row) func(*catalog.Practice) {
		v := r.millimetres("value", 0, 1000*measure.Millimetre, "from 0 to 1000")
		return func(p *catalog.Practice) { *field(p) = v }
	}, nil}
}

func daySetting(name string, low, high int, field func(*catalog.Practice) *int) setting {
	return setting{name, func(r *row) func(*catalog.Practice) {
		v := r.whole("value", low, high)
		return func(p *catalog.Practice) { *field(p) = v }
	}, nil}
}

func minuteSetting(name string, field func(*catalog.Practice) *time.Duration) setting {
	return setting{name, func(r *row) func(*catalog.Practice) {
		v := r.minutes("value", 0, 24*time.Hour, "from 0 to 1440")
		return func(p *catalog.Practice) { *field(p) = v }
	}, nil}
}

func numberSetting(name string, low, high float64, field func(*catalog.Practice) *float64) setting {
	return setting{name, func(r *row) func(*catalog.Practice) {
		v := r.number("value", low, high)
		return func(p *catalog.Practice) { *field(p) = v }
	}, nil}
}

// readScaleResolution reads the step of a scale; beyond 100 g it is a slip of the unit.
func readScaleResolution(r *row) func(*catalog.Practice) {
	v := r.grams("value", measure.Milligram)
	if r.sound("value") && v > 100*measure.Gram {
		r.fail("value", "%s must be at most 100, in grams", v.GramText())
	}
	return func(p *catalog.Practice) { p.ScaleResolution = v }
}

func readCurrency(r *row) func(*catalog.Practice) {
	text, ok := r.need("value", "an ISO 4217 currency code such as USD")
	if !ok {
		return nil
	}
	c, err := money.ParseCurrency(excerpt(text))
	if err != nil {
		r.fail("value", "%v", err)
	}
	return func(p *catalog.Practice) { p.Currency = c }
}

func findSetting(name string) (setting, bool) {
	for _, s := range settings {
		if s.name == name {
			return s, true
		}
	}
	return setting{}, false
}

type settingRow struct {
	at
	setting
	apply func(*catalog.Practice)
	text  string // of an amount
}

func (f *Folder) takeSetting(r *row) {
	text, ok := r.need("setting", "the name of a setting")
	if !ok {
		return
	}
	s, ok := findSetting(strings.ToLower(text))
	if !ok {
		var names []string
		for _, s := range settings {
			names = append(names, s.name)
		}
		r.fail("setting", "%q is not a setting; known are %s", excerpt(text), strings.Join(names, ", "))
		return
	}
	taken := settingRow{setting: s}
	if s.amount != nil {
		taken.text = r.amount("value")
	} else {
		taken.apply = s.read(r)
	}
	taken.at = r.at()
	f.practice = append(f.practice, taken)
}

// takePractice lays the settings of the file over those of the shop: one that the file does not name stays as it is, which
// in a new shop is its default.
func (r *resolution) takePractice() {
	practice, lines := r.known.Practice, map[string]int{}
	var amounts []settingRow
	r.currency = practice.Currency
	if r.folder.unread[practiceFile] {
		r.currency = ""
	}
	for _, row := range r.folder.practice {
		if earlier, twice := lines[row.name]; twice {
			r.fail(practiceFile, row.line, "setting", "%s is already on line %d", row.name, earlier)
			continue
		}
		lines[row.name] = row.line
		if row.bad {
			if row.name == currencySetting {
				r.currency = ""
			}
			continue
		}
		if row.amount != nil {
			amounts = append(amounts, row)
			continue
		}
		before := practice
		row.apply(&practice)
		r.count(practiceFile, true, practice == before)
		if row.name == currencySetting {
			r.currency = practice.Currency
			r.keepCurrency(row, practice.Currency)
		}
	}
	for _, row := range amounts {
		before := practice
		if m, sound := r.amount(practiceFile, row.line, "value", row.text); sound {
			*row.amount(&practice) = m
			r.count(practiceFile, true, practice == before)
		}
	}
	if setting, problem := practice.SetWork.Check(); setting != "" {
		r.fail(practiceFile, lines[setting], "value", "%s %s", setting, problem)
	}
	if practice != r.known.Practice {
		r.facts.Practice = &practice
	}
}

// keepCurrency tells where amounts that the shop has would silently become amounts of another currency.
func (r *resolution) keepCurrency(row settingRow, now money.Currency) {
	was := r.known.Practice.Currency
	if now == was || len(r.known.Spools)+len(r.known.Wires)+len(r.known.Suppliers) == 0 {
		return
	}
	r.fail(practiceFile, row.line, "value", "%s cannot take the place of %s: costs and prices are kept in %s already", now, was, was)
}
