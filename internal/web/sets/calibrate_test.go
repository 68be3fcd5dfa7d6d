package sets_test

import (
	"net/url"
	"testing"

	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

func TestCalibrateARecipe(t *testing.T) {
	site := visit.Open(t, testkit.ScenarioShop(t))
	winder, lead, keeper := site.As(t, workshop.Winder), site.As(t, workshop.Lead), site.As(t, workshop.Bookkeeper)
	winder.Get("/sets/calibrate").Wants(t, 200, []string{"What do finished strings really weigh and measure?", "NPS-38"}, []string{"Note it"})
	winder.Get("/sets/calibrate?recipe=NPS-38").Wants(t, 200, []string{"Computed and calibrated", "Nothing weighed or measured yet", "Note it"}, []string{"Take one back"})
	keeper.Get("/sets/calibrate?recipe=NPS-38").Wants(t, 200, []string{"Computed and calibrated"}, []string{"Note it"})
	winder.Get("/sets/calibrate?recipe=nothing").Wants(t, 404, nil, nil)

	post := func(v *visit.Visitor, more url.Values) visit.Page {
		more.Set("recipe", "NPS-38")
		return v.Post("/sets/calibrate", more)
	}
	post(winder, url.Values{"strings": {"10"}, "mass": {"60"}, "at": {"25.5"}, "ends": {"0"}}).Wants(t, 422, []string{"another recipe, or another number of strings, was weighed", `value="10"`, "An owner can give their word"}, nil)
	post(winder, url.Values{"strings": {"ten"}, "gauges": {"38 soon"}}).Wants(t, 422, []string{"must be a whole number", `value="38 soon"`}, nil)
	post(winder, url.Values{"gauges": {"58.1 38.0"}}).Wants(t, 422, []string{"more than a fifth off"}, nil)
	post(lead, url.Values{"gauges": {"39.5"}}).Wants(t, 422, []string{"an owner may confirm it"}, []string{`name="confirm"`})
	owner := site.As(t, workshop.Owner)
	post(owner, url.Values{"gauges": {"39.5"}}).Wants(t, 422, []string{"an owner may confirm it", `name="confirm"`}, nil)
	post(keeper, url.Values{"gauges": {"38"}}).Wants(t, 403, nil, nil)

	post(winder, url.Values{"gauges": {"38.1, 38.2 38.15"}, "key": {"once"}}).Wants(t, 303, nil, nil)
	post(winder, url.Values{"gauges": {"38.1, 38.2 38.15"}, "key": {"once"}}).Wants(t, 303, nil, nil)
	lead.Get("/sets/calibrate?recipe=NPS-38").Wants(t, 200, []string{"3 gauges, mean 38.15", "mean of 3 strings", "Gauge calibrated", "Take one back"}, []string{"6 gauges", "mean of 6"})
	lead.Post("/sets/calibrate/take-back", url.Values{"recipe": {"NPS-38"}, "number": {"1"}}).Wants(t, 422, []string{"reason"}, nil)
	winder.Post("/sets/calibrate/take-back", url.Values{"recipe": {"NPS-38"}, "number": {"1"}, "reason": {"wrong string"}}).Wants(t, 403, nil, nil)
	lead.Post("/sets/calibrate/take-back", url.Values{"recipe": {"NPS-38"}, "number": {"1"}, "reason": {"wrong string"}}).Wants(t, 303, nil, nil)
	lead.Get("/sets/calibrate?recipe=NPS-38").Wants(t, 200, []string{"takes back number 1", "wrong string"}, []string{"Gauge calibrated", "Take one back"})
}
