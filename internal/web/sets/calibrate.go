package sets

import (
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/problem"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// calibratePage shows a recipe as computed and as the shop has weighed and measured it, and takes what was weighed or measured.
type calibratePage struct {
	page.Frame
	Tabs   []page.Tab
	Head   page.Head
	Choose page.Field
	Recipe catalog.RecipeCode // empty: none is chosen yet
	Facts  []page.Fact
	Wires  page.Table
	Kept   page.Table

	Faults    page.Faults
	Weighed   []page.Field // nil for who may not calibrate
	Measured  []page.Field
	Further   []page.Field
	Open      bool
	Word      string       // who may give their word for what is questioned
	TakenBack []page.Field // nil where nothing can be taken back, or not by this person
}

func (p place) calibrate(r *page.Request) (page.Reply, error) {
	return p.showCalibrate(r, page.NewForm(r.Request.URL.Query()), page.Show)
}

func (p place) showCalibrate(r *page.Request, f *page.Form, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	parts, err := p.shop.SetParts(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	v := calibratePage{Frame: r.Frame("Calibrate"), Tabs: tabs(calibratePath, readBench(r.Request.URL.Query()))}
	v.Head = page.Head{Place: "Sets", Answer: "What do finished strings really weigh and measure?", Note: "Choose a recipe that has been wound."}
	v.Choose = f.Field("recipe", "Recipe").Required().Choice(recipeOptions(parts)...)
	code := f.Get("recipe")
	if code == "" {
		return as(calibrateTemplate, v), nil
	}
	u, scale := r.Units(), workshop.ShownScale
	if f.Get("at") != "" {
		if read, err := u.ParseScale(f.Get("at")); err == nil {
			scale = read
		}
	}
	c, err := p.shop.Calibrated(r.Ctx(), catalog.RecipeCode(code), scale)
	if err != nil {
		return page.Reply{}, err
	}
	v.Recipe, v.Head.Answer, v.Head.Note = c.Recipe, string(c.Recipe)+": "+calibratedText(c), "Plans count wire as calibrated; sheets check the gauge as calibrated."
	v.Facts, v.Wires, v.Kept = calibratedFacts(u, c), usesTable(u, c), keptTable(u, c)
	if r.May(workshop.Winder, workshop.Lead) {
		v.fields(r, f)
	}
	if r.May(workshop.Lead) {
		v.TakenBack = takeBackFields(f, c)
	}
	v.Faults = f.Said(append(append(append([]page.Field{v.Choose}, v.Weighed...), append(v.Measured, v.Further...)...), v.TakenBack...)...)
	return as(calibrateTemplate, v), nil
}

// fields are those of what was weighed and measured.
func (v *calibratePage) fields(r *page.Request, f *page.Form) {
	u := r.Units()
	v.Weighed = []page.Field{
		f.Field("strings", "Strings on the scale").Whole("").Hinted("Ten or more together."),
		f.Field("mass", "They weigh").Number(u.MassUnit()),
		f.Field("at", "Scale length").Number(u.LengthUnit()),
		f.Field("ends", "As many ball ends weigh").Number(u.MassUnit()).Hinted("0 where the strings were weighed without.")}
	v.Measured = []page.Field{f.Field("gauges", "Gauges").Hinted("In " + u.SizeUnit() + ", one for each string, with spaces between.")}
	v.Measured[0].Mode, v.Measured[0].Complete = "text", "off"
	v.Further = []page.Field{
		f.Field("cores", "As many bare cores weigh").Number(u.MassUnit()).Hinted("Makes it surer."),
		f.Field("resolution", "Step of the scale").Number(u.MassUnit()),
		f.Field("step", "Step of the micrometer").Number(u.SizeUnit()),
		f.Field("note", "Note")}
	for _, field := range v.Further {
		v.Open = v.Open || field.Error != "" || field.Value != ""
	}
	switch questioned := len(f.Wrong)+len(f.Other) > 0; {
	case !questioned:
	case r.May(): // an owner
		v.Measured = append(v.Measured, f.Field("confirm", "I have looked: it is right as it stands").Check())
	default:
		v.Word = "An owner can give their word for what is only unlikely."
	}
}

func takeBackFields(f *page.Form, c workshop.Calibrated) []page.Field {
	gone := map[int64]bool{}
	for _, one := range c.Calibrations {
		gone[one.Reverses] = true
	}
	options := []page.Option{{Text: "Choose"}}
	for _, one := range c.Calibrations {
		if one.Reverses == 0 && !gone[one.Number] {
			n := strconv.FormatInt(one.Number, 10)
			options = append(options, page.Option{Value: n, Text: "Number " + n})
		}
	}
	if len(options) == 1 {
		return nil
	}
	return []page.Field{f.Field("number", "Which").Required().Choice(options...), f.Field("reason", "Why").Required()}
}

// calibrated notes what was weighed or measured.
func (p place) calibrated(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	form := calibrationForm(f, r.Units())
	if f.OK() {
		c, err := p.shop.Calibrate(r.Ctx(), form)
		if err == nil {
			r.Say(page.Done(fmt.Sprintf("Noted. %s: %s.", c.Recipe, calibratedText(c))))
			return page.Redirect(calibratePath + "?" + url.Values{"recipe": {string(c.Recipe)}}.Encode()), nil
		}
		if err := refusedFields(f, asTyped(err)); err != nil {
			return page.Reply{}, err
		}
		for name, said := range f.Wrong {
			f.Wrong[name] = page.Reworded(r.Units(), said)
		}
	}
	return p.showCalibrate(r, f, page.Refused)
}

// takeBackCalibration takes one back.
func (p place) takeBackCalibration(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	number := page.Read(f, "number", func(text string) (int64, error) {
		n, err := strconv.ParseInt(text, 10, 64)
		if err != nil {
			return 0, fmt.Errorf("choose which one")
		}
		return n, nil
	})
	if f.OK() {
		c, err := p.shop.TakeBackCalibration(r.Ctx(), catalog.RecipeCode(f.Get("recipe")), number, f.Get("reason"))
		if err == nil {
			r.Say(page.Done(fmt.Sprintf("Number %d is taken back. %s: %s.", number, c.Recipe, calibratedText(c))))
			return page.Redirect(calibratePath + "?" + url.Values{"recipe": {string(c.Recipe)}}.Encode()), nil
		}
		if err := refusedFields(f, err); err != nil {
			return page.Reply{}, err
		}
	}
	return p.showCalibrate(r, f, page.Refused)
}

// refusedFields puts a refusal beside the fields; one that needs another role has a page of its own.
func refusedFields(f *page.Form, err error) error {
	if problem.From(err).Status == http.StatusForbidden {
		return err
	}
	return f.Refuse(err)
}

func calibrationForm(f *page.Form, u units.Units) workshop.CalibrationForm {
	form := workshop.CalibrationForm{Recipe: catalog.RecipeCode(f.Get("recipe")), Note: f.Get("note"), Confirmed: f.Get("confirm") != "", Key: f.Get("key")}
	mass := func(name string) (m measure.Mass) {
		if f.Get(name) != "" {
			m = page.Read(f, name, u.ParseMass)
		}
		return m
	}
	form.Mass, form.Cores, form.Resolution = mass("mass"), mass("cores"), mass("resolution")
	if f.Get("ends") != "" {
		form.Ends = new(mass("ends"))
	}
	if f.Get("strings") != "" {
		form.Strings = page.Read(f, "strings", func(text string) (int, error) {
			n, err := strconv.Atoi(text)
			if err != nil {
				return 0, fmt.Errorf("must be a whole number")
			}
			return n, nil
		})
	}
	if f.Get("at") != "" {
		form.Scale = page.Read(f, "at", u.ParseScale)
	}
	if f.Get("step") != "" {
		form.GaugeStep = page.Read(f, "step", u.ParseSize)
	}
	form.Gauges = page.Read(f, "gauges", func(text string) (all []measure.Size, err error) {
		for one := range strings.FieldsFuncSeq(text, func(c rune) bool { return strings.ContainsRune(" ,;\t\n", c) }) {
			g, err := u.ParseSize(one)
			if err != nil {
				return nil, err
			}
			all = append(all, g)
		}
		return all, nil
	})
	return form
}

// asTyped names the fields of a refusal as the page names them.
func asTyped(err error) error {
	err = renamed(err, "mass_g", "mass", "cores_g", "cores", "ends_g", "ends", "resolution_g", "resolution", "scale_in", "at", "gauge_step_thou", "step")
	all, ok := err.(problem.Invalid)
	if !ok {
		return err
	}
	for i := range all {
		if strings.HasPrefix(all[i].Location, "gauges_thou") {
			all[i].Location = "gauges"
		}
	}
	return all
}

func recipeOptions(parts workshop.SetParts) []page.Option {
	all := []page.Option{{Text: "Choose"}}
	for _, one := range parts.Recipes {
		all = append(all, page.Option{Value: string(one.Code), Text: string(one.Code)})
	}
	return all
}
