package setwork

import (
	"math"

	"windingroom/internal/measure"
	"windingroom/internal/stringdesign"
)

// MatchAnswer is a set in another alloy.
type MatchAnswer struct {
	Alloy       string           `json:"alloy"`
	Positions   []PositionAnswer `json:"positions"`
	Recommended SetAnswer        `json:"recommended"`
}

// PositionAnswer is one string of the set that was asked about, and what could take its place.
type PositionAnswer struct {
	Position    int     `json:"position" doc:"1 upwards"`
	Recipe      string  `json:"recipe" doc:"The present string."`
	ScaleIn     float64 `json:"scale_in"`
	FrequencyHz float64 `json:"frequency_hz"`
	TensionN    float64 `json:"tension_n" doc:"Of the present string."`
	WantedN     float64 `json:"wanted_tension_n" doc:"Less than the present one for plain strings that are to be lighter."`
	CalibratedTension
	BreakingShare *float64            `json:"breaking_share" doc:"Of the present string; null where the strength of its core is unknown."`
	Alternatives  []AlternativeAnswer `json:"alternatives" doc:"Nearest to the wanted tension first, at most five."`
	Beyond        *AlternativeAnswer  `json:"nearest_beyond_tolerance,omitempty" doc:"Where there is no alternative: what comes nearest."`
}

// AlternativeAnswer is a string that the shop can make.
type AlternativeAnswer struct {
	Recipe            string    `json:"recipe" doc:"Empty for a string without one, made up from core and wraps."`
	Core              string    `json:"core" doc:"Code of the wire."`
	Wraps             []string  `json:"wraps" doc:"Codes of the wires, innermost first; none for a plain string."`
	LaysThou          []float64 `json:"lays_thou,omitempty" doc:"Where a wrap is wound open: advance per turn, 0 for touching turns."`
	GaugeThou         float64   `json:"gauge_thou" doc:"Over the corners of the core, as core and wraps give it."`
	NominalGaugeThou  float64   `json:"nominal_gauge_thou" doc:"What it goes by: the recipe's gauge, or the computed one to the half thousandth."`
	TensionN          float64   `json:"tension_n"`
	DifferencePercent float64   `json:"difference_percent" doc:"From the present tension, or from the wanted one where there is no present string."`
	BreakingShare     *float64  `json:"breaking_share" doc:"Null where the strength of the core is unknown."`
	CalibratedGauge
	CalibratedTension
	Held     bool      `json:"held" doc:"Each of its wires has enough free on one spool for one such string."`
	WireCost *float64  `json:"wire_cost" doc:"Of one good string, at what the wire on the shelf cost; null where a cost is unknown."`
	Cautions []Caution `json:"cautions"`
}

// SetAnswer is one whole set.
type SetAnswer struct {
	By      string            `json:"by,omitempty" doc:"What it is the best by."`
	Strings []SetStringAnswer `json:"strings"`
	TotalN  float64           `json:"total_n"`
	CalibratedTotal
	PresentTotalN     *float64  `json:"present_total_n,omitempty"`
	DifferencePercent *float64  `json:"difference_percent,omitempty" doc:"Of the totals."`
	SpreadPercent     float64   `json:"spread_percent" doc:"Highest less lowest tension, of the mean."`
	JumpsPercent      []float64 `json:"jumps_percent" doc:"From each string to the next."`
	Held              bool      `json:"held" doc:"The shelf holds the wire of one whole set, its strings cut side by side."`
	OffPercent        float64   `json:"off_percent" doc:"Root mean square difference from the wanted tensions."`
	Exact             bool      `json:"exact" doc:"Proven: no other choice within the tolerance is better. False where there were too many to try."`
	OffAtLeastPercent float64   `json:"off_at_least_percent" doc:"Where it is not exact: whatever is better than this set differs by at least so much. Where it is, off_percent."`
	Cautions          []Caution `json:"cautions"`
	PriceAnswer
}

// SetStringAnswer is a string of a whole set.
type SetStringAnswer struct {
	Position int  `json:"position"`
	Kept     bool `json:"kept,omitempty" doc:"Nothing comes near, so it stays the present string."`
	AlternativeAnswer
}

func (r *Room) positionAnswer(p position, present *Alternative, near []*Alternative, beyond *Alternative, pickup bool) PositionAnswer {
	a := PositionAnswer{
		Position: p.number, Recipe: string(present.Recipe), ScaleIn: p.scale.Inches(), FrequencyHz: float64(p.pitch),
		TensionN: float64(present.Tension), WantedN: float64(p.wanted), BreakingShare: present.Share,
		CalibratedTension: present.pull(), Alternatives: []AlternativeAnswer{},
	}
	for _, n := range near[:min(len(near), mostAlternatives)] {
		a.Alternatives = append(a.Alternatives, r.alternativeAnswer(n, present, pickup))
	}
	if len(near) == 0 && beyond != nil {
		b := r.alternativeAnswer(beyond, present, pickup)
		a.Beyond = &b
	}
	return a
}

// alternativeAnswer describes a string, beside the present one where there is one.
func (r *Room) alternativeAnswer(a, present *Alternative, pickup bool) AlternativeAnswer {
	out := AlternativeAnswer{
		Recipe: string(a.Recipe), Core: string(a.core.Code), Wraps: []string{},
		GaugeThou: a.gaugeThou(), NominalGaugeThou: a.Nominal.Thou(),
		TensionN: float64(a.Tension), DifferencePercent: 100 * a.Off, BreakingShare: a.Share, Held: a.Held,
		CalibratedGauge: a.calibration(), CalibratedTension: a.pull(),
		WireCost: r.wireCost(a.cost), Cautions: r.stringCautions(a, pickup),
	}
	if present != nil {
		out.DifferencePercent = 100 * (float64(a.Tension/present.Tension) - 1)
	}
	open := false
	for _, l := range a.layers {
		out.Wraps = append(out.Wraps, string(l.wire.Code))
		open = open || l.lay != 0
	}
	for i := 0; open && i < len(a.layers); i++ {
		out.LaysThou = append(out.LaysThou, a.layers[i].lay.Thou())
	}
	return out
}

// setAnswer describes a whole set, beside the present one where there is one. A position without a string is left out.
func (r *Room) setAnswer(positions []position, c choice, present []*Alternative, pickup bool, made run) SetAnswer {
	s := SetAnswer{Strings: []SetStringAnswer{}, Exact: c.exact, Held: true}
	var picks, were []*Alternative
	var sum float64
	squares := make([]float64, len(c.picks))
	for i, a := range c.picks {
		if a == nil {
			s.Held, squares[i] = false, -1
			continue
		}
		var was *Alternative
		if present != nil {
			was = present[i]
			were = append(were, was)
		}
		line := SetStringAnswer{Position: positions[i].number, AlternativeAnswer: r.alternativeAnswer(a, was, pickup)}
		s.Strings = append(s.Strings, line)
		s.Held = s.Held && c.served[i]
		picks = append(picks, a)
		off := float64(a.Tension/positions[i].wanted) - 1
		squares[i] = off * off
		sum += squares[i]
	}
	balance := stringdesign.BalanceOf(tensions(picks))
	s.TotalN, s.SpreadPercent, s.JumpsPercent = float64(balance.Total), 100*balance.Spread, percents(balance.Jumps)
	if n := float64(len(picks)); n > 0 {
		s.OffPercent = 100 * math.Sqrt(sum/n)
	}
	s.CalibratedTotal = calibratedTotal(picks)
	if s.OffAtLeastPercent = s.OffPercent; !c.exact {
		s.OffAtLeastPercent = min(s.OffPercent, 100*c.offAtLeast(squares))
	}
	if present != nil {
		total := float64(stringdesign.BalanceOf(tensions(present)).Total)
		difference := 100 * (s.TotalN/total - 1)
		s.PresentTotalN, s.DifferencePercent = &total, &difference
	}
	s.Cautions = r.setCautions(positions, c, were, pickup)
	if !c.exact {
		s.Cautions = append(s.Cautions, notProven(s))
	}
	s.PriceAnswer = r.price(positions, c.picks, made)
	return s
}

func tensions(list []*Alternative) (all []measure.Force) {
	for _, a := range list {
		all = append(all, a.Tension)
	}
	return all
}

func percents(shares []float64) []float64 {
	all := make([]float64, len(shares))
	for i, s := range shares {
		all[i] = 100 * s
	}
	return all
}
