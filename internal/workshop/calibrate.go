package workshop

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/requirements"
	"windingroom/internal/winding"
)

// Calibration is what finished strings of a recipe weighed or measured, as it is kept.
type Calibration struct {
	Number     int64 // in the order they happened, 1 upwards
	Recipe     catalog.RecipeCode
	Scale      measure.Size
	Strings    int          // weighed together
	Mass       measure.Mass // of all of them
	Cores      measure.Mass // of as many bare cores; zero: as computed
	Ends       measure.Mass // of as many ball ends; zero where none were on them
	Resolution measure.Mass // of the scale
	Computed   float64      // milligrams of the strings without ends, when they were weighed
	Gauges     int          // strings measured
	Gauge      float64      // nm, their mean
	GaugeSD    float64      // nm, of one of them
	GaugeStep  measure.Size // of the micrometer

	GaugeComputed float64 // nm, when it was measured; zero for what was measured before this was kept

	Vouched  bool  // the owner's word
	Reverses int64 // the one that it takes back; zero for none
	Note     string
	At       time.Time
	Person   string
	Key      string // idempotency key, or empty
}

// CalibrationForm is what a person weighed or measured.
type CalibrationForm struct {
	Recipe     catalog.RecipeCode
	Scale      measure.Size
	Strings    int
	Mass       measure.Mass
	Cores      measure.Mass
	Ends       *measure.Mass // needed where the recipe has a ball end and strings are weighed: zero says that they were weighed without
	Resolution measure.Mass  // zero for the shop's scale
	Gauges     []measure.Size
	GaugeStep  measure.Size // zero for 0.05 thou
	Note       string
	Confirmed  bool // the owner's word for what would be questioned
	Key        string
}

// Calibrated is what a recipe takes and measures as computed and as calibrated, side by side.
type Calibrated struct {
	Learned
	Calibrations []Calibration // those that stand, and those taken back with what took them back
	Scale        measure.Size  // that the masses are of
	Computed     []requirements.Use
	Used         []requirements.Use // what plans count on
	Gauge        float64            // nm, computed
	Measured     float64            // nm, mean of what counts; zero where nothing does
	Uncertainty  float64            // nm, standard, of Measured
	Gauges       int                // strings measured

	CalibratedGauge *winding.LearnedGauge // that the shop's measurements give; nil where they say nothing of the recipe
	CalibratedMass  *winding.LearnedMass  // per length, from finished strings; nil where none was weighed
	MassPerM        measure.LinearDensity // computed
}

// Limits of what is taken for a calibration. A factor beyond 0.5 to 1.5, or a gauge a fifth off, is another recipe, whoever says
// otherwise; a gauge 3 % off is questioned. Judgement; no source.
const (
	leastFactor, mostFactor    = 0.5, 1.5
	questionedGauge, mostGauge = 0.03, 0.20
	mostCalibrated             = 100_000 // strings
)

// ShownScale is the scale length for which a calibration shows what a string takes, where none was named.
const ShownScale = 51 * measure.Inch / 2

// defaultStep is the step of a micrometer that nobody names.
const defaultStep = measure.Thou / 20

// Calibrate notes what finished strings of a recipe weighed, or measured, and gives what plans count on with it. What is absurd is
// refused; what is unlikely is refused unless an owner gives a word for it. The same again under its key changes nothing. Winders, leads and owners may.
func (s *Shop) Calibrate(ctx context.Context, form CalibrationForm) (Calibrated, error) {
	p, err := allow(ctx, "calibrating a recipe", Winder, Lead)
	if err != nil {
		return Calibrated{}, err
	}
	if form.Confirmed {
		if _, err := allow(ctx, "giving a word for a surprising calibration"); err != nil {
			return Calibrated{}, err
		}
	}
	if err := fits(form.Key); err != nil {
		return Calibrated{}, err
	}
	var out Calibrated
	err = s.Store.InTx(ctx, func(tx Tx) error {
		b, err := computedBench(tx)
		if err != nil {
			return err
		}
		c, err := b.read(form)
		if err != nil {
			return err
		}
		c.At, c.Person, c.Key = s.Now().UTC(), p.Name, movementKey("calibrate", p, form.Key)
		switch err := tx.AddCalibration(c); {
		case errors.Is(err, ErrExists): // noted under this key before
		case err != nil:
			return err
		default:
			if err := tx.Record(s.audit(p, "calibrate", string(c.Recipe), calibrationDetail(c))); err != nil {
				return err
			}
			if err := s.needAnew(tx, p); err != nil {
				return err
			}
		}
		out, err = b.calibrated(tx, c.Recipe, cmp.Or(c.Scale, ShownScale))
		return err
	})
	return out, err
}

// TakeBackCalibration takes one back by another that names it. One that is taken back already stays so. Leads and owners may.
func (s *Shop) TakeBackCalibration(ctx context.Context, recipe catalog.RecipeCode, number int64, reason string) (Calibrated, error) {
	p, err := allow(ctx, "taking a calibration back", Lead)
	if err != nil {
		return Calibrated{}, err
	}
	if reason, err = because(reason); err != nil {
		return Calibrated{}, err
	}
	var out Calibrated
	err = s.Store.InTx(ctx, func(tx Tx) error {
		b, err := computedBench(tx)
		if err != nil {
			return err
		}
		c, err := b.named(recipe)
		if err != nil {
			return err
		}
		list, err := tx.Calibrations(c.Code)
		if err != nil {
			return err
		}
		scale, found, already := measure.Size(0), false, false
		for _, one := range list {
			if one.Number == number && one.Reverses == 0 {
				scale, found = one.Scale, true
			}
			already = already || one.Reverses == number
		}
		if !found {
			return fmt.Errorf("calibration %d of recipe %s: %w", number, c.Code, ErrNotFound)
		}
		if !already {
			back := Calibration{Recipe: c.Code, Scale: scale, Resolution: 1, Reverses: number, Note: reason, At: s.Now().UTC(), Person: p.Name}
			if err := tx.AddCalibration(back); err != nil {
				return err
			}
			if err := tx.Record(s.audit(p, "take calibration back", string(c.Code), fmt.Sprintf("%d: %s", number, reason))); err != nil {
				return err
			}
			if err := s.needAnew(tx, p); err != nil {
				return err
			}
		}
		out, err = b.calibrated(tx, c.Code, cmp.Or(scale, ShownScale))
		return err
	})
	return out, err
}

// Calibrated gives what a recipe takes at a scale length, and measures, as computed and as calibrated; ErrNotFound when there is none of
// that code. Everyone in the shop may see it.
func (s *Shop) Calibrated(ctx context.Context, recipe catalog.RecipeCode, scale measure.Size) (out Calibrated, err error) {
	if _, err := allow(ctx, "seeing recipes", Roles()...); err != nil {
		return out, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		b, err := computedBench(r)
		if err != nil {
			return err
		}
		c, err := b.named(recipe)
		if err == nil {
			out, err = b.calibrated(r, c.Code, scale)
		}
		return err
	})
	return out, err
}

// weighBench is the bench as computed, with what it is made of.
type weighBench struct {
	*requirements.Bench
	recipes  []catalog.Recipe
	wires    []material.Wire
	practice catalog.Practice
}

func computedBench(r Reader) (b weighBench, err error) {
	if b.recipes, err = r.Recipes(); err != nil {
		return b, err
	}
	if b.wires, err = r.Wires(); err != nil {
		return b, err
	}
	if b.practice, err = r.Practice(); err != nil {
		return b, err
	}
	alloys, err := allAlloys(r)
	if err != nil {
		return b, err
	}
	b.Bench, err = requirements.NewBench(alloys, b.wires, b.recipes, b.practice)
	return b, err
}

func (b weighBench) named(code catalog.RecipeCode) (catalog.Recipe, error) {
	for _, c := range b.recipes {
		if strings.EqualFold(string(c.Code), string(code)) {
			return c, nil
		}
	}
	return catalog.Recipe{}, fmt.Errorf("recipe %s: %w", code, ErrNotFound)
}

// read reads a form, refusing what cannot be or is unlikely.
func (b weighBench) read(form CalibrationForm) (c Calibration, err error) {
	recipe, err := b.named(form.Recipe)
	if err != nil {
		return c, err
	}
	c = Calibration{Recipe: recipe.Code, Scale: form.Scale, Resolution: form.Resolution, Vouched: form.Confirmed, Note: strings.TrimSpace(form.Note)}
	if c.Resolution == 0 {
		c.Resolution = b.practice.ScaleResolution
	}
	switch {
	case len(c.Note) > mostWords:
		return c, wrong("note", "is %d bytes long; at most %d", len(c.Note), mostWords)
	case form.Strings == 0 && form.Mass == 0 && len(form.Gauges) == 0:
		return c, wrong("strings", "nothing was weighed and nothing measured: strings with their mass, or gauges, are wanted")
	case form.Strings != 0 || form.Mass != 0:
		if err := b.weighed(&c, recipe, form); err != nil {
			return c, err
		}
	}
	if len(form.Gauges) > 0 {
		return c, b.measured(&c, form)
	}
	return c, nil
}

func (b weighBench) weighed(c *Calibration, recipe catalog.Recipe, form CalibrationForm) error {
	c.Strings, c.Mass, c.Cores = form.Strings, form.Mass, form.Cores
	switch {
	case form.Scale <= 0:
		return wrong("scale_in", "is needed where strings are weighed")
	case form.Strings < 1 || form.Strings > mostCalibrated:
		return wrong("strings", "%d strings: one or more are weighed", form.Strings)
	case form.Mass <= 0:
		return wrong("mass_g", "must be more than 0: what all the strings weigh together")
	case c.Resolution <= 0:
		return wrong("resolution_g", "must be more than 0: the smallest step of the scale")
	case form.Cores < 0:
		return wrong("cores_g", "must be 0 or more")
	case form.Ends == nil && recipe.BallEnd:
		return wrong("ends_g", "is needed: recipe %s has ball ends; weigh as many of them, or say 0 where the strings were weighed without", recipe.Code)
	case form.Ends != nil && *form.Ends < 0:
		return wrong("ends_g", "must be 0 or more")
	}
	if form.Ends != nil {
		c.Ends = *form.Ends
	}
	s, err := b.String(recipe.Code)
	if err != nil {
		return err
	}
	f := s.Finished(c.Scale, b.practice.Allowances)
	c.Computed = float64(c.Strings) * (f.Core + f.Wraps)
	weighed, _ := b.finished(*c)
	w := weighed.Weighing(s, f)
	if w.Measured <= 0 {
		return wrong("mass_g", "leaves no wire: %s less cores and ball ends; %d strings should weigh about %.3f g and their ends", c.Mass, c.Strings, c.Computed/1000)
	}
	factor := float64(w.Measured) / w.Computed
	if factor < leastFactor || factor > mostFactor {
		return wrong("mass_g", "makes the wire %.3f of the computed: another recipe, or another number of strings, was weighed; %d strings should weigh about %.3f g and their ends",
			factor, c.Strings, c.Computed/1000)
	}
	if _, err := winding.Calibrate([]winding.Weighing{w}); err != nil {
		if errors.Is(err, winding.ErrQuestioned) {
			return wrong("mass_g", "%s; an owner may confirm it", err)
		}
		return wrong("mass_g", "%s", err)
	}
	return nil
}

func (b weighBench) measured(c *Calibration, form CalibrationForm) error {
	c.Gauges, c.GaugeStep = len(form.Gauges), form.GaugeStep
	if c.GaugeStep == 0 {
		c.GaugeStep = defaultStep
	}
	if c.GaugeStep < 0 {
		return wrong("gauge_step_thou", "must be more than 0: the step of the micrometer")
	}
	s, err := b.String(c.Recipe)
	if err != nil {
		return err
	}
	computed := float64(s.Gauge) * 1e9
	var sum float64
	for i, g := range form.Gauges {
		off := math.Abs(float64(g)/computed - 1)
		switch {
		case off > mostGauge:
			return wrong(fmt.Sprintf("gauges_thou[%d]", i), "%s is more than a fifth off the computed %.2f: another string was measured", g.ThouText(), computed/float64(measure.Thou))
		case off > questionedGauge && !form.Confirmed:
			return wrong(fmt.Sprintf("gauges_thou[%d]", i), "%s is more than 3 %% off the computed %.2f; an owner may confirm it", g.ThouText(), computed/float64(measure.Thou))
		}
		sum += float64(g)
	}
	n := float64(c.Gauges)
	c.Gauge, c.GaugeComputed = sum/n, computed
	if c.Gauges > 1 {
		var squares float64
		for _, g := range form.Gauges {
			off := float64(g) - c.Gauge
			squares += float64(off * off)
		}
		c.GaugeSD = math.Sqrt(squares / (n - 1))
	}
	return nil
}

// calibrated puts a recipe as computed and as calibrated side by side.
func (b weighBench) calibrated(r Reader, code catalog.RecipeCode, scale measure.Size) (out Calibrated, err error) {
	all, err := learn(r, b.recipes, b.wires)
	if err != nil {
		return out, err
	}
	if err := learnFactors(r, b.recipes, b.wires, all); err != nil {
		return out, err
	}
	out.Learned, out.Scale = all[code], scale
	if out.Calibrations, err = r.Calibrations(code); err != nil {
		return out, err
	}
	if out.Computed, err = b.Uses(code, scale); err != nil {
		return out, err
	}
	if out.Used, err = b.Bench.Calibrate(map[catalog.RecipeCode]float64{code: out.Factor.Value}).Uses(code, scale); err != nil {
		return out, err
	}
	s, err := b.String(code)
	if err != nil {
		return out, err
	}
	out.Gauge, out.MassPerM = float64(s.Gauge)*1e9, s.MassPerM
	taught, err := teachingsOf(r, b)
	if err != nil {
		return out, err
	}
	out.Measured, out.Uncertainty, out.Gauges = winding.Gauge(taught.measured[code])
	gauges, of := b.gauges(taught)
	if g, ok := gauges.Of(of[code]); ok {
		out.CalibratedGauge = &g
	}
	if m, ok := b.masses(taught)[code]; ok {
		out.CalibratedMass = &m
	}
	return out, nil
}

func calibrationDetail(c Calibration) string {
	var parts []string
	if c.Strings > 0 {
		parts = append(parts, fmt.Sprintf("%d strings weigh %s", c.Strings, c.Mass))
	}
	if c.Gauges > 0 {
		parts = append(parts, fmt.Sprintf("%d strings measure %.2f thou", c.Gauges, c.Gauge/float64(measure.Thou)))
	}
	if c.Vouched {
		parts = append(parts, "confirmed")
	}
	return strings.Join(parts, ", ")
}
