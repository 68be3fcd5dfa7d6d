package sets

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/setwork"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// figures prints the engine's numbers in the shop's units.
type figures struct{ units.Units }

func (f figures) pull(newtons float64) string { return f.Tension(measure.Force(newtons)).String() }

// cautions prints what a person should know in the shop's units.
func (f figures) cautions(list []setwork.Caution) []string {
	return setwork.Texts(list, func(pull measure.Force) string { return f.Tension(pull).String() })
}

func (f figures) gauge(thou float64) string {
	return f.Size(measure.Size(math.Round(thou * float64(measure.Thou)))).String()
}

func (f figures) percent(v float64) string { return f.Percent(v / 100).String() }

// more prints a difference with its sign.
func (f figures) more(percent float64) string {
	if text := f.percent(percent); percent > 0 {
		return "+" + text
	} else {
		return text
	}
}

// weight says in words how much more a string pulls than another; nothing where the figure shows no difference.
func (f figures) weight(newtons float64) string {
	size := f.pull(math.Abs(newtons))
	switch {
	case size == f.pull(0):
		return "the same"
	case newtons > 0:
		return "heavier by " + size
	}
	return "lighter by " + size
}

func (f figures) share(share *float64) string {
	if share == nil {
		return "not known"
	}
	return f.Percent(*share).String()
}

// money prints an amount; a dash where it is not known.
func (f figures) money(currency string, amount *float64) string {
	if amount == nil {
		return "not known"
	}
	c := money.Currency(currency)
	return f.Money(c, money.Minor(math.Round(*amount*math.Pow10(c.Decimals())))).String()
}

// bar draws a pull beside the strongest one.
func (f figures) bar(newtons, strongest float64, tone page.Tone) *page.Fill {
	bar := page.Of(f.pull(newtons), newtons, strongest)
	bar.Tone = tone
	return &bar
}

// loads are the tones of how a string bears its tension.
var loads = map[string]page.Tone{"caution": page.Wait, "refused": page.Wrong}

func wireTag(held bool) page.Tag {
	if held {
		return page.Tag{Text: "on hand", Tone: page.Good}
	}
	return page.Tag{Text: "lacking", Tone: page.Wrong}
}

// wiresText names a string by its wires.
func wiresText(core string, wraps []string) string {
	return strings.Join(append([]string{core}, wraps...), " + ")
}

// nameOf is how a string is typed: its recipe, else its wires.
func nameOf(recipe, core string, wraps []string) string {
	if recipe != "" {
		return recipe
	}
	return wiresText(core, wraps)
}

// priceFacts tell what a set costs; none where prices are not for who asks.
func (f figures) priceFacts(p setwork.PriceAnswer) []page.Fact {
	if p.Currency == "" {
		return nil
	}
	facts := []page.Fact{{Term: "Wire of one set", Text: f.money(p.Currency, p.WireCost)}}
	if p.LabourCost > 0 {
		facts = append(facts, page.Fact{Term: "Winding and setup of one set", Text: f.money(p.Currency, &p.LabourCost)})
	}
	return append(facts, page.Fact{Term: "Suggested price", Text: f.money(p.Currency, p.Price)})
}

// freshName proposes a recipe's code that the shop does not have: as the wire on the outside begins, with the gauge.
func freshName(core string, wraps []string, gaugeThou float64, parts workshop.SetParts) string {
	outer := core
	if len(wraps) > 0 {
		outer = wraps[len(wraps)-1]
	}
	begin, _, _ := strings.Cut(outer, "-")
	if len(wraps) == 0 {
		begin = "P"
	}
	name := begin + "-" + page.Number(gaugeThou)
	for n := 2; slices.ContainsFunc(parts.Recipes, func(c catalog.Recipe) bool { return strings.EqualFold(string(c.Code), name) }); n++ {
		name = fmt.Sprintf("%s-%s-%d", begin, page.Number(gaugeThou), n)
	}
	return name
}

// ownGauge says what the shop's own measurements give beside the computed gauge; empty where they say nothing.
func (f figures) ownGauge(c setwork.CalibratedGauge) string {
	if c.CalibratedGaugeThou == nil {
		return ""
	}
	from := page.Plural(c.CalibratedGaugeStrings, "string", "strings") + " measured"
	if c.CalibratedGaugeStrings == 0 {
		from = page.Plural(c.CalibratedGaugeRecipes, "recipe of its kind", "recipes of its kind") + " measured"
	}
	return fmt.Sprintf("; %s ± %s by %s", f.gauge(*c.CalibratedGaugeThou), f.gauge(*c.CalibratedGaugeUncertainty), from)
}

// ownPull says how a string pulls by finished ones that the shop weighed.
func (f figures) ownPull(c setwork.CalibratedTension) string {
	if c.CalibratedTensionN == nil {
		return ""
	}
	return fmt.Sprintf("%s ± %s by %s weighed", f.pull(*c.CalibratedTensionN), f.pull(*c.CalibratedUncertaintyN), page.Plural(c.WeighedStrings, "string", "strings"))
}

func (f figures) ownTotal(c setwork.CalibratedTotal) string {
	if c.CalibratedTotalN == nil {
		return ""
	}
	return fmt.Sprintf("%s where %s weighed", f.pull(*c.CalibratedTotalN), page.Plural(c.CalibratedStrings, "string is", "strings are"))
}

// joined puts notes together that are not empty.
func joined(notes ...string) string {
	return strings.Join(slices.DeleteFunc(notes, func(n string) bool { return n == "" }), "; ")
}
