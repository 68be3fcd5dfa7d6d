package estimate_test

import (
	"math"
	"strings"
	"testing"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stringdesign"
	"windingroom/internal/winding"
)

const kgPerM3PerLbPerIn3 = 0.45359237 / (0.0254 * 0.0254 * 0.0254)

// quantities computes each kind of published value with the program's own functions, from the inputs of its row.
var quantities = map[string]func(*testing.T, inputs) float64{
	"density_g_cm3":  func(t *testing.T, in inputs) float64 { return float64(in.alloy(t).Density) / 1000 },
	"density_lb_in3": func(t *testing.T, in inputs) float64 { return float64(in.alloy(t).Density) / kgPerM3PerLbPerIn3 },
	"plated_density_g_cm3": func(t *testing.T, in inputs) float64 {
		return float64(material.PlatedDensity(measure.Density(in.num(t, "base")), measure.Density(in.num(t, "plate")), in.num(t, "fraction")))
	},
	"plating_fraction": func(t *testing.T, in inputs) float64 { return platingFraction(t, in, in.num(t, "thickness_uin")) },
	"thin_plating_uin": func(t *testing.T, in inputs) float64 {
		const thin = 1e-3
		return in.num(t, "fraction") * thin / platingFraction(t, in, thin)
	},

	"a228_min_ksi": func(t *testing.T, in inputs) float64 { return material.MusicWireMinimum(in.diameter(t)).KSI() },
	"a228_min_mpa": func(t *testing.T, in inputs) float64 { return material.MusicWireMinimum(in.diameter(t)).Megapascals() },
	"a228_max_ksi": func(t *testing.T, in inputs) float64 {
		s, ok := material.MusicWireMaximum(in.diameter(t))
		if !ok {
			t.Error("the table has no maximum here")
		}
		return s.KSI()
	},
	"fit_ksi": func(t *testing.T, in inputs) float64 { return material.FittedTensile(in.diameter(t)).KSI() },
	"modulus_gpa": func(t *testing.T, in inputs) float64 {
		return float64(stringdesign.MusicWireModulus(in.diameter(t))) / 1e9
	},
	"a228_tolerance_thou": func(t *testing.T, in inputs) float64 {
		tol, ok := material.DiameterTolerance(size(t, in.num(t, "d_thou")/1000))
		if !ok {
			t.Error("the table has no tolerance here")
		}
		return tol.Thou()
	},

	"copper_lb_per_1000ft": func(t *testing.T, in inputs) float64 {
		copper, _ := builtIn.Find("copper")
		b := winding.Build{Core: round(t, math.Sqrt(in.num(t, "cmil"))/1000), CoreDensity: copper.Density}
		return poundsPerFoot(design(t, b)) * 1000
	},
	"wire_lb_per_ft": func(t *testing.T, in inputs) float64 {
		rho := measure.Density(0)
		if _, ok := in["alloy"]; ok {
			rho = in.alloy(t).Density
		} else {
			rho = measure.Density(in.num(t, "rho"))
		}
		return poundsPerFoot(design(t, winding.Build{Core: round(t, in.num(t, "d_in")), CoreDensity: rho}))
	},
	"mu_kg_m": func(t *testing.T, in inputs) float64 {
		b := winding.Build{Core: round(t, in.num(t, "d_mm")/25.4), CoreDensity: measure.Density(in.num(t, "rho"))}
		return float64(design(t, b).MassPerM)
	},

	"wave_speed": func(t *testing.T, in inputs) float64 {
		f := stringdesign.Frequency(in.mu(t), 1, measure.Force(in.num(t, "tension")))
		return stringdesign.WaveSpeed(1, f)
	},
	"tension_for_speed": func(t *testing.T, in inputs) float64 {
		return float64(stringdesign.Tension(in.mu(t), 0.5, measure.Frequency(in.num(t, "v"))))
	},
	"mode_hz": func(t *testing.T, in inputs) float64 {
		f := stringdesign.Frequency(in.mu(t), measure.Length(in.num(t, "l")), measure.Force(in.num(t, "tension")))
		return in.num(t, "n") * float64(f)
	},
	"tension_n": func(t *testing.T, in inputs) float64 {
		return float64(stringdesign.Tension(in.mu(t), in.scale(t), in.pitch(t)))
	},
	"mu_for_tension": func(t *testing.T, in inputs) float64 {
		return float64(stringdesign.LinearDensityFor(measure.Force(in.num(t, "tension")), in.scale(t), in.pitch(t)))
	},
	"young_cents": youngCents,
	"young_constant": func(t *testing.T, in inputs) float64 {
		d, l, f0, n := in.num(t, "d_cm"), in.num(t, "l_cm"), in.num(t, "f0"), in.num(t, "n")
		return youngCents(t, in) * f0 * f0 * math.Pow(l, 4) / (n * n * d * d)
	},
	"feynman_ratio": func(t *testing.T, in inputs) float64 {
		form := material.Form{Section: material.Round, Size: size(t, in.num(t, "d_thou")/1000)}
		area, e, f := float64(form.Area()), in.num(t, "e_gpa")*1e9, float64(in.pitch(t))
		mu := 7850 * area
		tension := stringdesign.Tension(measure.LinearDensity(mu), in.scale(t), in.pitch(t))
		feynman := math.Pi * e * area * area * mu * f * f / float64(tension*tension)
		return stringdesign.Inharmonicity(measure.Stress(e), form.SecondMoment(), tension, in.scale(t)) / feynman
	},
	"inharmonicity": inharmonicity,
	"partial_cents": func(t *testing.T, in inputs) float64 {
		return stringdesign.PartialCents(inharmonicity(t, in), int(in.num(t, "n")))
	},
	"stretch_percent": func(t *testing.T, in inputs) float64 {
		return 100 * stringdesign.Stretch(in.stress(t), measure.Stress(in.num(t, "e_gpa")*1e9))
	},

	"note_hz":       func(t *testing.T, in inputs) float64 { return float64(in.pitch(t)) },
	"inch_mm":       func(*testing.T, inputs) float64 { return measure.Inch.Millimetres() },
	"pound_g":       func(t *testing.T, _ inputs) float64 { return must(measure.ParsePounds("1000"))(t).Grams() / 1000 },
	"pound_force_n": func(*testing.T, inputs) float64 { return float64(measure.FromPoundsForce(1)) },
	"gravity":       func(*testing.T, inputs) float64 { return float64(measure.FromPoundsForce(1)) / 0.45359237 },
	"ksi_mpa":       func(*testing.T, inputs) float64 { return measure.FromKSI(1).Megapascals() },

	"coil_length_m": func(t *testing.T, in inputs) float64 {
		const tenth = 10 * 25.4 // the coil is thicker than string wire, and only its proportions matter
		d, od := in.num(t, "d_mm")/tenth, in.num(t, "od_mm")/tenth
		return in.num(t, "wire_m") / design(t, wound(round(t, od-2*d), 7850, touching(round(t, d), 8890))).Turns[0].WirePerM
	},
	"copper_mass_ratio": func(t *testing.T, in inputs) float64 {
		core, wrap := in.num(t, "core_mm")/25.4, in.num(t, "wrap_mm")/25.4
		steel, _ := builtIn.Find("music-wire")
		copper, _ := builtIn.Find("copper")
		s := design(t, wound(round(t, core), steel.Density, touching(round(t, wrap), copper.Density)))
		od := core + 2*wrap
		return float64(s.MassPerM/s.CorePerM-1) / ((od*od - core*core) / (core * core))
	},
	"helix_ratio": func(t *testing.T, in inputs) float64 {
		turn := in.design(t).Turns[0]
		return float64(turn.TurnLength) / math.Hypot(float64(turn.Projected), float64(turn.Lay))
	},
	"hex_area":          func(*testing.T, inputs) float64 { return float64(oneMillimetreHex.Area()) * 1e6 },
	"hex_perimeter":     func(*testing.T, inputs) float64 { return oneMillimetreHex.PerimeterDiameter().Millimetres() * math.Pi },
	"hex_corners":       func(*testing.T, inputs) float64 { return oneMillimetreHex.OverCorners().Millimetres() },
	"hex_area_diameter": func(*testing.T, inputs) float64 { return oneMillimetreHex.AreaDiameter().Millimetres() },
	"hex_second_moment": func(*testing.T, inputs) float64 { return oneMillimetreHex.SecondMoment() * 1e12 },

	"gauge_in":     func(t *testing.T, in inputs) float64 { return in.design(t).Gauge.Thou() / 1000 },
	"projected_in": func(t *testing.T, in inputs) float64 { return in.design(t).Turns[0].Projected.Thou() / 1000 },
	"wire_per_m":   func(t *testing.T, in inputs) float64 { return in.turns(t).WirePerM },
	"layer_g_m":    func(t *testing.T, in inputs) float64 { return in.turns(t).MassPerM.GramsPerMetre() },
	"mu_g_m":       func(t *testing.T, in inputs) float64 { return in.design(t).MassPerM.GramsPerMetre() },
	"turns":        func(t *testing.T, in inputs) float64 { return in.layerUse(t).Turns },
	"wrap_m":       func(t *testing.T, in inputs) float64 { return float64(in.layerUse(t).Length) },
	"wrap_g":       func(t *testing.T, in inputs) float64 { return in.layerUse(t).Kg * 1000 },
	"string_tension_n": func(t *testing.T, in inputs) float64 {
		return float64(stringdesign.Tension(in.design(t).MassPerM, in.scale(t), in.pitch(t)))
	},
	"string_stress_mpa": func(t *testing.T, in inputs) float64 { return in.stress(t).Megapascals() },
	"breaking_share": func(t *testing.T, in inputs) float64 {
		return stringdesign.BreakingShare(in.stress(t), in.strength(t))
	},
	"breaking_hz": func(t *testing.T, in inputs) float64 {
		return float64(stringdesign.BreakingPitch(in.strength(t), 7850, in.scale(t)))
	},
}

var (
	builtIn          = material.NewAlloys(material.BuiltIn()...)
	oneMillimetreHex = material.Form{Section: material.Hex, Size: measure.Millimetre}
)

func (in inputs) alloy(t *testing.T) material.Alloy {
	t.Helper()
	a, ok := builtIn.Find(material.AlloyCode(in.text(t, "alloy")))
	if !ok {
		t.Fatalf("no alloy %s", in["alloy"])
	}
	return a
}

func (in inputs) diameter(t *testing.T) measure.Length {
	t.Helper()
	if mm, ok := in["d_mm"]; ok {
		return measure.Length(number(t, mm) / 1000)
	}
	return size(t, in.num(t, "d_thou")/1000).Metres()
}

func (in inputs) mu(t *testing.T) measure.LinearDensity {
	t.Helper()
	return measure.LinearDensity(in.num(t, "mu"))
}

func (in inputs) pitch(t *testing.T) measure.Frequency {
	t.Helper()
	return must(stringdesign.ParsePitch(in.text(t, "pitch")))(t)
}

func (in inputs) scale(t *testing.T) measure.Length {
	t.Helper()
	if m, ok := in["l_m"]; ok {
		return measure.Length(number(t, m))
	}
	return size(t, in.num(t, "l_in")).Metres()
}

// design reads core=section core_in=size [rho=density] [wraps=section:size[xthickness]:density[:lay],…], inches and kg/m3.
func (in inputs) design(t *testing.T) winding.String {
	t.Helper()
	b := winding.Build{CoreDensity: 7850, Core: material.Form{
		Section: material.Section(in.text(t, "core")), Size: size(t, in.num(t, "core_in")),
	}}
	if rho, ok := in["rho"]; ok {
		b.CoreDensity = measure.Density(number(t, rho))
	}
	for _, wrap := range strings.FieldsFunc(in["wraps"], func(r rune) bool { return r == ',' }) {
		parts := strings.Split(wrap, ":")
		width, thickness, _ := strings.Cut(parts[1], "x")
		l := winding.Layer{
			Form:    material.Form{Section: material.Section(parts[0]), Size: size(t, number(t, width))},
			Density: measure.Density(number(t, parts[2])),
		}
		if thickness != "" {
			l.Form.Thickness = size(t, number(t, thickness))
		}
		if len(parts) > 3 {
			l.Lay = size(t, number(t, parts[3]))
		}
		b.Layers = append(b.Layers, l)
	}
	return design(t, b)
}

func (in inputs) turns(t *testing.T) winding.Turns {
	t.Helper()
	return in.design(t).Turns[int(in.num(t, "layer"))]
}

// layerUse is the wrap over a wound length without any allowance.
func (in inputs) layerUse(t *testing.T) winding.LayerUse {
	t.Helper()
	return in.design(t).At(size(t, in.num(t, "wound_in")), winding.Allowances{}).Layers[int(in.num(t, "layer"))]
}

func (in inputs) stress(t *testing.T) measure.Stress {
	t.Helper()
	s := in.design(t)
	return stringdesign.CoreStress(stringdesign.Tension(s.MassPerM, in.scale(t), in.pitch(t)), s.Core.Area())
}

func (in inputs) strength(t *testing.T) measure.Stress {
	t.Helper()
	steel, _ := builtIn.Find("music-wire")
	s, ok := steel.MinimumTensile(in.design(t).Core)
	if !ok {
		t.Fatal("music wire has no strength")
	}
	return s
}

func inharmonicity(t *testing.T, in inputs) float64 {
	t.Helper()
	s := in.design(t)
	tension := stringdesign.Tension(s.MassPerM, in.scale(t), in.pitch(t))
	return stringdesign.Inharmonicity(measure.Stress(in.num(t, "e_gpa")*1e9), s.Core.SecondMoment(), tension, in.scale(t))
}

// youngCents uses Young's own ratio of modulus to density, 25.5e10 cm2/s2; the density itself cancels.
func youngCents(t *testing.T, in inputs) float64 {
	t.Helper()
	const density, ratio = 7850.0, 25.5e6
	d, l, f := in.num(t, "d_cm")/100, measure.Length(in.num(t, "l_cm")/100), measure.Frequency(in.num(t, "f0"))
	form := round(t, d/0.0254)
	tension := stringdesign.Tension(measure.LinearDensity(density*float64(form.Area())), l, f)
	b := stringdesign.Inharmonicity(measure.Stress(ratio*density), form.SecondMoment(), tension, l)
	return stringdesign.PartialCents(b, int(in.num(t, "n")))
}

func platingFraction(t *testing.T, in inputs, microinches float64) float64 {
	t.Helper()
	return material.PlatingFraction(measure.Density(in.num(t, "base")), measure.Density(in.num(t, "plate")),
		measure.Length(in.num(t, "d_in")), measure.Length(microinches*1e-6))
}

func poundsPerFoot(s winding.String) float64 { return float64(s.MassPerM) / 0.45359237 * 0.3048 }

func size(t *testing.T, inches float64) measure.Size {
	t.Helper()
	return must(measure.SizeFromInches(inches))(t)
}

func round(t *testing.T, inches float64) material.Form {
	t.Helper()
	return material.Form{Section: material.Round, Size: size(t, inches)}
}

func touching(f material.Form, rho measure.Density) winding.Layer {
	return winding.Layer{Form: f, Density: rho}
}

func wound(core material.Form, rho measure.Density, layers ...winding.Layer) winding.Build {
	return winding.Build{Core: core, CoreDensity: rho, Layers: layers}
}

func design(t *testing.T, b winding.Build) winding.String {
	t.Helper()
	return must(winding.Design(b))(t)
}

// must gives a value, or ends the test with its error.
func must[T any](v T, err error) func(*testing.T) T {
	return func(t *testing.T) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}
