package setwork

import (
	"math"

	"windingroom/internal/fields"
	"windingroom/internal/stringdesign"
)

// TensionAnswer is what a set does at pitch.
type TensionAnswer struct {
	Strings  []TensionString `json:"strings"`
	TotalN   float64         `json:"total_n"`
	TotalLbf float64         `json:"total_lbf"`
	CalibratedTotal
	MeanN         float64        `json:"mean_n"`
	SpreadPercent float64        `json:"spread_percent" doc:"Highest less lowest tension, of the mean."`
	JumpsPercent  []float64      `json:"jumps_percent" doc:"From each string to the next."`
	Borders       []Border       `json:"borders" doc:"Where plain strings meet wound ones."`
	Against       *AgainstAnswer `json:"against,omitempty" doc:"Beside the reference."`
	Held          bool           `json:"held" doc:"The shelf holds the wire of one whole set, its strings cut side by side."`
	Lacking       []int          `json:"lacking" doc:"The positions for which the shelf then lacks wire."`
	Cautions      []Caution      `json:"cautions"`
	PriceAnswer
}

// TensionString is one string at pitch.
type TensionString struct {
	Position         int      `json:"position"`
	Recipe           string   `json:"recipe" doc:"Empty for a string spelled out as core and wraps that no recipe makes."`
	Core             string   `json:"core"`
	Wraps            []string `json:"wraps" doc:"Innermost first; none for a plain string."`
	Alloy            string   `json:"alloy" doc:"On the outside."`
	GaugeThou        float64  `json:"gauge_thou" doc:"Over the corners of the core, as core and wraps give it."`
	NominalGaugeThou float64  `json:"nominal_gauge_thou" doc:"What it goes by: the recipe's gauge, or the computed one to the half thousandth."`
	Layers           int      `json:"layers" doc:"0 for a plain string."`
	ScaleIn          float64  `json:"scale_in"`
	FrequencyHz      float64  `json:"frequency_hz"`
	TensionN         float64  `json:"tension_n"`
	TensionLbf       float64  `json:"tension_lbf"`
	CalibratedGauge
	CalibratedTension
	CoreStressMPa     float64  `json:"core_stress_mpa"`
	BreakingShare     *float64 `json:"breaking_share"`
	Load              string   `json:"load" enum:"fine,caution,refused,unknown" doc:"The breaking share by the shop's caution_breaking_share and refuse_breaking_share."`
	Inharmonicity     *float64 `json:"inharmonicity" doc:"B of the stiff string; of a wound one an estimate: its core's stiffness with its whole tension. Null for a core other than music wire."`
	TenthPartialCents *float64 `json:"tenth_partial_cents" doc:"By how much the tenth partial is sharp for that."`
	Held              bool     `json:"held"`
}

// Border is a pair of neighbours of which one is plain and the other wound.
type Border struct {
	From        int     `json:"from"`
	To          int     `json:"to"`
	JumpPercent float64 `json:"jump_percent"`
}

// AgainstAnswer compares a set with a reference.
type AgainstAnswer struct {
	Word              string              `json:"word" enum:"heavier,lighter,the same"`
	TotalDifferenceN  float64             `json:"total_difference_n"`
	DifferencePercent float64             `json:"difference_percent"`
	Strings           []AgainstDifference `json:"strings" doc:"The positions that both sets have."`
	Most              int                 `json:"most" doc:"The position that differs most; 0 where none does."`
}

// AgainstDifference is one string beside that of the reference.
type AgainstDifference struct {
	Position          int     `json:"position"`
	DifferenceN       float64 `json:"difference_n"`
	DifferencePercent float64 `json:"difference_percent"`
}

// Tension answers what a set does at pitch: tension, breaking share and stiffness of each string, how the set balances, what
// it costs, and how it compares with a reference. The error is fields.Invalid and lists every field at fault.
func (r *Room) Tension(q TensionRequest) (TensionAnswer, error) {
	var problems fields.Invalid
	positions := r.resolve(q.Set, "set", &problems)
	var reference []position
	if q.Reference.is() {
		reference = r.resolve(q.Reference, "reference", &problems)
	}
	made := runOf(q.Quantity, &problems)
	if q.Batched || q.Set.Standing != "" {
		made = 0
	}
	if len(problems) > 0 {
		return TensionAnswer{}, problems
	}
	set, were := r.strung(positions), r.strung(reference)
	b := stringdesign.BalanceOf(tensions(set))
	out := TensionAnswer{
		TotalN: float64(b.Total), TotalLbf: b.Total.PoundsForce(), MeanN: float64(b.Mean), SpreadPercent: 100 * b.Spread,
		JumpsPercent: percents(b.Jumps), Borders: []Border{}, Lacking: []int{}, CalibratedTotal: calibratedTotal(set), PriceAnswer: r.price(positions, set, made),
	}
	c := choice{picks: set, served: make([]bool, len(set)), exact: true}
	taken := loads{}
	for i, a := range set {
		if c.served[i] = r.shelf.take(taken, a.uses); !c.served[i] {
			out.Lacking = append(out.Lacking, positions[i].number)
		}
		out.Strings = append(out.Strings, r.tensionString(positions[i], a))
		if i > 0 && a.Plain() != set[i-1].Plain() {
			out.Borders = append(out.Borders, Border{i, i + 1, 100 * b.Jumps[i-1]})
		}
	}
	out.Held = len(out.Lacking) == 0
	out.Cautions = r.setCautions(positions, c, were, q.MagneticPickup)
	if len(were) > 0 {
		out.Against = against(set, were)
	}
	return out, nil
}

// strung gives the strings that are on the positions.
func (r *Room) strung(positions []position) []*Alternative {
	all := make([]*Alternative, len(positions))
	for i, p := range positions {
		all[i] = r.at(p, p.present)
	}
	return all
}

func (r *Room) tensionString(p position, a *Alternative) TensionString {
	core := a.string.Core
	out := TensionString{
		Position: p.number, Recipe: string(a.Recipe), Core: string(a.core.Code), Wraps: []string{}, Alloy: string(a.outer().alloy.Code),
		GaugeThou: a.gaugeThou(), NominalGaugeThou: a.Nominal.Thou(), Layers: len(a.layers), ScaleIn: p.scale.Inches(),
		FrequencyHz: float64(p.pitch), TensionN: float64(a.Tension), TensionLbf: a.Tension.PoundsForce(),
		CoreStressMPa: stringdesign.CoreStress(a.Tension, core.Area()).Megapascals(), BreakingShare: a.Share, Held: a.Held,
		CalibratedGauge: a.calibration(), CalibratedTension: a.pull(),
	}
	for _, l := range a.layers {
		out.Wraps = append(out.Wraps, string(l.wire.Code))
	}
	switch {
	case a.Share == nil:
		out.Load = "unknown"
	case a.load(r) == stringdesign.Caution:
		out.Load = "caution"
	case a.load(r) == refused:
		out.Load = "refused"
	default:
		out.Load = "fine"
	}
	if a.minimum > 0 { // music wire, of which the modulus is known
		stiff := stringdesign.Inharmonicity(stringdesign.MusicWireModulus(core.AreaDiameter()), core.SecondMoment(), a.Tension, p.scale.Metres())
		cents := stringdesign.PartialCents(stiff, 10)
		out.Inharmonicity, out.TenthPartialCents = &stiff, &cents
	}
	return out
}

// noDifference is a share of a tension that no hand feels and no printed percent shows.
const noDifference = 0.0005

func against(set, were []*Alternative) *AgainstAnswer {
	c := stringdesign.Compare(tensions(set), tensions(were))
	out := &AgainstAnswer{Word: "the same", TotalDifferenceN: float64(c.Total), DifferencePercent: 100 * c.Share, Most: c.Most + 1}
	switch {
	case c.Share > noDifference:
		out.Word = "heavier"
	case c.Share < -noDifference:
		out.Word = "lighter"
	}
	if n := c.Most; n < 0 || math.Abs(float64(c.Strings[n]/were[n].Tension)) <= noDifference {
		out.Most = 0
	}
	for i, d := range c.Strings {
		out.Strings = append(out.Strings, AgainstDifference{i + 1, float64(d), 100 * float64(d/were[i].Tension)})
	}
	return out
}
