package api

import (
	"context"
	"fmt"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/problem"
	"windingroom/internal/requirements"
	"windingroom/internal/workshop"
)

func (s *server) calibrations(api huma.API) {
	huma.Register(api, operation(http.MethodGet, "/recipes/{recipe}/calibrations", "calibrations", "What a recipe takes and measures, as computed and as calibrated"), s.calibrated)
	add := write("/recipes/{recipe}/calibrations", "calibrate", "Note what finished strings of a recipe weighed or measured; plans count on it")
	add.DefaultStatus = http.StatusCreated
	huma.Register(api, add, s.calibrate)
	huma.Register(api, write("/recipes/{recipe}/calibrations/{number}/take-back", "take-back-calibration", "Take a calibration back by another that names it"), s.takeBackCalibration)
}

// CalibrationForm is what was weighed or measured of finished strings.
type CalibrationForm struct {
	ScaleIn    Decimal   `json:"scale_in,omitempty" doc:"Needed where strings are weighed."`
	Strings    int       `json:"strings,omitempty" doc:"Weighed together."`
	MassG      Decimal   `json:"mass_g,omitempty" doc:"Of all of them."`
	CoresG     Decimal   `json:"cores_g,omitempty" doc:"Of as many bare cores, cut as those of finished strings; without it as computed, and less sure."`
	EndsG      Decimal   `json:"ends_g,omitempty" doc:"Of as many ball ends. Needed where the recipe has them: 0 says that the strings were weighed without."`
	Resolution Decimal   `json:"resolution_g,omitempty" doc:"Smallest step of the scale; the shop's without it."`
	GaugesThou []Decimal `json:"gauges_thou,omitempty" doc:"Measured, one a string."`
	GaugeStep  Decimal   `json:"gauge_step_thou,omitempty" doc:"Step of the micrometer, 0.05 without it."`
	Note       string    `json:"note,omitempty" maxLength:"1000"`
	Confirm    bool      `json:"confirm,omitempty" doc:"The owner's word for what would be questioned: a factor outside 0.93 to 1.07, a gauge more than 3 % off."`
}

// Read reads the form for a recipe.
func (f CalibrationForm) Read(recipe string) (form workshop.CalibrationForm, err error) {
	form = workshop.CalibrationForm{Recipe: catalog.RecipeCode(recipe), Strings: f.Strings, Note: f.Note, Confirmed: f.Confirm}
	mass := func(field string, d Decimal) (m measure.Mass) {
		if d != "" && err == nil {
			m, err = d.grams(field)
		}
		return m
	}
	thou := func(field string, d Decimal, parse func(string) (measure.Size, error)) (size measure.Size) {
		if d != "" && err == nil {
			if size, err = parse(string(d)); err != nil {
				err = problem.At(field, err)
			}
		}
		return size
	}
	form.Scale = thou("scale_in", f.ScaleIn, measure.ParseInches)
	form.Mass, form.Cores, form.Resolution = mass("mass_g", f.MassG), mass("cores_g", f.CoresG), mass("resolution_g", f.Resolution)
	if f.EndsG != "" {
		ends := mass("ends_g", f.EndsG)
		form.Ends = &ends
	}
	for i, g := range f.GaugesThou {
		form.Gauges = append(form.Gauges, thou(fmt.Sprintf("gauges_thou[%d]", i), g, measure.ParseThou))
	}
	form.GaugeStep = thou("gauge_step_thou", f.GaugeStep, measure.ParseThou)
	return form, err
}

func (s *server) calibrate(ctx context.Context, in *struct {
	Recipe string `path:"recipe"`
	Key    string `header:"Idempotency-Key" doc:"The same key posts once."`
	Body   CalibrationForm
}) (*answer[Calibrated], error) {
	form, err := in.Body.Read(in.Recipe)
	if err != nil {
		return nil, err
	}
	form.Key = in.Key
	c, err := s.shop.Calibrate(ctx, form)
	return answered(c, err, CalibratedBody)
}

func (s *server) calibrated(ctx context.Context, in *struct {
	Recipe  string `path:"recipe"`
	ScaleIn string `query:"scale_in" doc:"Of the masses; 25.5 without it."`
}) (*answer[Calibrated], error) {
	scale := workshop.ShownScale
	if in.ScaleIn != "" {
		var err error
		if scale, err = measure.ParseInches(in.ScaleIn); err != nil {
			return nil, problem.At("query.scale_in", err)
		}
	}
	c, err := s.shop.Calibrated(ctx, catalog.RecipeCode(in.Recipe), scale)
	return answered(c, err, CalibratedBody)
}

func (s *server) takeBackCalibration(ctx context.Context, in *struct {
	Recipe string `path:"recipe"`
	Number int64  `path:"number"`
	Key    string `header:"Idempotency-Key" doc:"The same key posts once."`
	Body   struct {
		Reason string `json:"reason" maxLength:"1000"`
	}
}) (*answer[Calibrated], error) {
	c, err := s.shop.TakeBackCalibration(ctx, catalog.RecipeCode(in.Recipe), in.Number, in.Body.Reason)
	return answered(c, err, CalibratedBody)
}

// Calibrated is a recipe as computed and as calibrated, side by side.
type Calibrated struct {
	Learned               Learned          `json:"learned"`
	ScaleIn               float64          `json:"scale_in"`
	Wires                 []CalibratedWire `json:"wires"`
	Gauge                 float64          `json:"gauge_thou" doc:"Computed."`
	Measured              *float64         `json:"gauge_measured_thou,omitempty" doc:"Mean of the measured strings."`
	Uncertainty           *float64         `json:"gauge_uncertainty_thou,omitempty" doc:"Its standard uncertainty."`
	Gauges                int              `json:"gauges" doc:"Strings measured."`
	CalibratedGauge       *float64         `json:"calibrated_gauge_thou,omitempty" doc:"What sheets and the finder give: the measured mean drawn towards the computed gauge, or its kind's, by how sure each is; or, where nothing was measured, told by three or more measured recipes of its kind."`
	CalibratedUncertainty *float64         `json:"calibrated_gauge_uncertainty_thou,omitempty" doc:"Its standard uncertainty."`
	CalibratedFrom        string           `json:"calibrated_gauge_from,omitempty" enum:"recipe,kind"`

	MassPerLength           float64  `json:"mass_per_length_g_m" doc:"Computed."`
	CalibratedMassPerLength *float64 `json:"calibrated_mass_per_length_g_m,omitempty" doc:"From finished strings that were weighed; spools weigh waste too, and bear on what strings take, not on this."`
	MassUncertainty         *float64 `json:"calibrated_mass_uncertainty_g_m,omitempty" doc:"Its standard uncertainty."`

	Calibrations []Calibration `json:"calibrations"`
}

// CalibratedWire is the wire one string takes.
type CalibratedWire struct {
	Wire       string  `json:"wire"`
	ComputedMg float64 `json:"computed_mg"`
	MassMg     float64 `json:"mass_mg" doc:"As calibrated: what plans count on."`
}

// Calibration is what strings weighed or measured once.
type Calibration struct {
	Number       int64    `json:"number"`
	At           string   `json:"at" format:"date-time"`
	Person       string   `json:"person"`
	ScaleIn      float64  `json:"scale_in,omitempty"`
	Strings      int      `json:"strings,omitempty"`
	MassMg       int64    `json:"mass_mg,omitempty"`
	CoresMg      int64    `json:"cores_mg,omitempty"`
	EndsMg       int64    `json:"ends_mg,omitempty"`
	ResolutionMg int64    `json:"resolution_mg,omitempty"`
	ComputedMg   float64  `json:"computed_mg,omitempty" doc:"Of the strings without their ends."`
	Gauges       int      `json:"gauges,omitempty"`
	Gauge        *float64 `json:"gauge_thou,omitempty" doc:"Mean of what was measured."`
	Confirmed    bool     `json:"confirmed,omitempty"`
	TakesBack    int64    `json:"takes_back,omitempty" doc:"The number that it takes back."`
	Note         string   `json:"note,omitempty"`
}

// CalibratedBody gives a recipe's calibration as JSON.
func CalibratedBody(c workshop.Calibrated) Calibrated {
	thou := func(nm float64) *float64 { v := nm / float64(measure.Thou); return &v }
	body := Calibrated{Learned: LearnedBody(c.Learned), ScaleIn: c.Scale.Inches(), Wires: []CalibratedWire{}, Gauge: *thou(c.Gauge), Gauges: c.Gauges, Calibrations: []Calibration{}}
	for i, u := range c.Computed {
		body.Wires = append(body.Wires, calibratedWire(u, c.Used[i]))
	}
	if c.Gauges > 0 {
		body.Measured, body.Uncertainty = thou(c.Measured), thou(c.Uncertainty)
	}
	body.MassPerLength = c.MassPerM.GramsPerMetre()
	if g := c.CalibratedGauge; g != nil {
		body.CalibratedGauge, body.CalibratedUncertainty, body.CalibratedFrom = thou(g.Gauge), thou(g.Uncertainty), "recipe"
		if g.Strings == 0 {
			body.CalibratedFrom = "kind"
		}
	}
	if m := c.CalibratedMass; m != nil {
		mass, uncertain := m.PerM.GramsPerMetre(), m.Uncertainty.GramsPerMetre()
		body.CalibratedMassPerLength, body.MassUncertainty = &mass, &uncertain
	}
	for _, one := range c.Calibrations {
		row := Calibration{Number: one.Number, At: one.At.Format(time.RFC3339), Person: one.Person, ScaleIn: one.Scale.Inches(), Strings: one.Strings, MassMg: int64(one.Mass),
			CoresMg: int64(one.Cores), EndsMg: int64(one.Ends), ComputedMg: one.Computed, Gauges: one.Gauges, Confirmed: one.Vouched, TakesBack: one.Reverses, Note: one.Note}
		if one.Strings > 0 {
			row.ResolutionMg = int64(one.Resolution)
		}
		if one.Gauges > 0 {
			row.Gauge = thou(one.Gauge)
		}
		body.Calibrations = append(body.Calibrations, row)
	}
	return body
}

func calibratedWire(computed, used requirements.Use) CalibratedWire {
	return CalibratedWire{Wire: string(computed.Wire), ComputedMg: computed.Each.Milligrams(), MassMg: used.Each.Milligrams()}
}
