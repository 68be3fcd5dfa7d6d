package workshop_test

import (
	"fmt"
	"os"
	"testing"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/intake"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// oneSet is a draft of one custom set, for the shop of the scenario.
func oneSet(due calendar.Date, recipes ...string) intake.OrderForm {
	form := intake.OrderForm{Order: "X-1", OrderedOn: "2026-03-02", DueOn: due.String(), Customer: "Someone",
		Lines: []intake.OrderFormLine{{Line: "1", Quantity: "1"}}}
	for i, r := range recipes {
		form.Lines[0].Strings = append(form.Lines[0].Strings, intake.OrderFormString{Position: fmt.Sprint(i + 1), Recipe: r, Scale: "25.5", Pitch: "A3"})
	}
	return form
}

// BenchmarkPromise asks for the day of one custom set on the day of the scenario, with nothing planned: one that can be had and one that
// lacks wire, each again with what would make it earlier, and the first once more. The ratios are to planning that one day, which is done
// before and which the first answer builds on.
func BenchmarkPromise(b *testing.B) {
	spent := map[string]time.Duration{}
	for b.Loop() {
		shop, day := testkit.Shop(b), testkit.Day(b)
		ctx := testkit.As(b.Context(), workshop.Owner)
		if _, err := shop.Import(ctx, os.DirFS("../../testdata/scenario"), false); err != nil {
			b.Fatal(err)
		}
		timed := func(what string, do func() error) {
			start := time.Now()
			if err := do(); err != nil {
				b.Fatal(err)
			}
			spent[what] += time.Since(start)
		}
		timed("plan", func() error { _, err := shop.LookAhead(ctx, day, 1); return err })
		sets := map[string]intake.OrderForm{"kept": oneSet(day, "P-20", "SS-40"), "short": oneSet(day+10, "P-10.5", "P-13.5", "NPS-46")}
		for _, name := range []string{"kept", "short"} {
			timed(name, func() error {
				d, err := shop.FirstDayFor(ctx, sets[name])
				if err == nil && d.On.IsZero() != (name == "short") {
					err = fmt.Errorf("%s: promised for %s: %s", name, d.On, d.Why())
				}
				return err
			})
			timed(name+"-ways", func() error { _, err := shop.PromiseFor(ctx, sets[name]); return err })
		}
		timed("again", func() error { _, err := shop.FirstDayFor(ctx, sets["kept"]); return err })
	}
	for _, what := range []string{"kept", "kept-ways", "short", "short-ways", "again"} {
		b.ReportMetric(float64(spent[what])/float64(spent["plan"]), what+"/day-plan")
	}
}
