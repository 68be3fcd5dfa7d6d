package exports

import (
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

// The shop, its customers, spools and lots are invented.

func smallDay() batch.Day {
	return batch.Day{
		Shop:       "Quay & Lantern Strings",
		Date:       calendar.NewDate(2026, time.March, 2),
		Setup:      43*time.Minute + 30*time.Second,
		SetupBound: 40 * time.Minute,
		Sheets:     []batch.Sheet{woundSheet(), bassSheet(), plainSheet()},
	}
}

func wire(code, alloy string, section material.Section, thou float64, each measure.MassEach, length measure.Length, after float64) batch.Load {
	return batch.Load{
		Wire: material.WireCode(code), AlloyName: alloy, Form: material.Form{Section: section, Size: thous(thou)},
		Each: each, Length: length, After: thous(after),
	}
}

func wrap(load batch.Load, turns float64) batch.Load {
	load.Turns, load.Lay = turns, load.Form.Size.Metres()
	return load
}

func thous(v float64) measure.Size {
	s, err := measure.SizeFromThou(v)
	if err != nil {
		panic(err)
	}
	return s
}

func spool(code, wire, lot, place string, strings int, mass, before, tare measure.Mass) batch.SpoolDraw {
	return batch.SpoolDraw{
		Draw: batch.Draw{Spool: stock.SpoolCode("S" + code), Wire: material.WireCode(wire), Strings: strings, Mass: mass},
		Lot:  lot, Location: place, Before: before, After: before - mass, Tare: tare,
	}
}

func serves(code string, line, position, strings int, customer, pitch string, due calendar.Date) batch.For {
	return batch.For{
		Serve:    batch.Serve{Order: order.Code(code), Line: line, Position: position, Strings: strings},
		Customer: customer, Pitch: pitch, DueOn: due, Status: order.Planned,
	}
}

func woundSheet() batch.Sheet {
	core := wire("MW-H-16.5", "music wire", material.Hex, 16.5, 1_187_654_321, 0.94270, 16.5)
	outer := wrap(wire("NPS-R-13.5", "nickel-plated steel", material.Round, 13.5, 4_321_987_654, 5.88412, 46.1), 2014.4)
	outer.Nickel = true
	return batch.Sheet{
		Batch: batch.Batch{
			Code: "260302-bench-1-01", Date: calendar.NewDate(2026, time.March, 2), Machine: "bench-1", Sequence: 1,
			Status: batch.Released, Recipe: "NPS-46", Scale: 25*measure.Inch + measure.Inch/2, Ordered: 45, ToWind: 48,
			Setup: 12 * time.Minute, Run: 57*time.Minute + 36*time.Second, Ends: 69*time.Minute + 36*time.Second,
		},
		Version: 1, Gauge: thous(46), Tolerance: thous(1), BallEnd: true, CoreCut: 877_700_000, WoundLength: 697_700_000,
		Core: core, Wraps: []batch.Load{outer},
		Spools: []batch.SpoolDraw{
			spool("118", "MW-H-16.5", "AD-2601", "rack B2", 48, 57_007, 4_873_001, 640_000),
			spool("204", "NPS-R-13.5", "CV-2511", "rack C8", 20, 86_440, 99_120, 653_500),
			spool("231", "NPS-R-13.5", "CV-2602", "rack C8", 28, 121_016, 5_240_600, 655_250),
		},
		For: []batch.For{
			serves("O-26-101", 1, 6, 5, "Workshop at Low Ferry", "E2", calendar.NewDate(2026, time.March, 4)),
			serves("O-26-107", 2, 6, 40, "Marrow Street Guitars", "E2", calendar.NewDate(2026, time.March, 9)),
		},
	}
}

func bassSheet() batch.Sheet {
	hex := wire("MW-H-20.0", "music wire", material.Hex, 20, 2_000_000_001, 1.16100, 20)
	first := wrap(wire("SS-R-9.0", "stainless steel 430", material.Round, 9, 3_700_000_000, 11.4, 38), 4085)
	cover := wrap(wire("NI-F-12.0", "pure nickel flat", material.Flat, 24, 8_110_500_000, 9.1, 65.1), 1532.2)
	cover.Form.Thickness, cover.Nickel = thous(12), true
	return batch.Sheet{
		Batch: batch.Batch{
			Code: "260302-bench-1-02", Date: calendar.NewDate(2026, time.March, 2), Machine: "bench-1", Sequence: 2,
			Status: batch.Released, Recipe: "NI-65-bass", Scale: 34 * measure.Inch, Ordered: 6, ToWind: 7,
			Setup: 25*time.Minute + 30*time.Second, Run: 21 * time.Minute,
			Starts: 69*time.Minute + 36*time.Second, Ends: 116*time.Minute + 6*time.Second,
		},
		Version: 3, Gauge: thous(65), Tolerance: thous(1), BallEnd: true,
		Own: batch.OwnGauge{Gauge: thous(64.62), Uncertainty: thous(0.08), Computed: thous(65.09), Strings: 12}, CoreCut: 1_093_600_000, WoundLength: 913_600_000,
		Core: hex, Wraps: []batch.Load{first, cover},
		Spools: []batch.SpoolDraw{
			spool("090", "MW-H-20.0", "AD-2512", "rack B5", 7, 14_000, 1_200_500, 512_000),
			spool("301", "SS-R-9.0", "HP-0077", "rack D1", 7, 25_900, 2_000_000, 250_000),
			spool("322", "NI-F-12.0", "HP-0081", "rack D4", 7, 56_774, 7_800_000, 912_000),
		},
		For:      []batch.For{serves("O-26-115", 1, 3, 6, "Elder Basses", "D2", calendar.NewDate(2026, time.March, 6))},
		Cautions: []batch.Caution{{Before: "The core carries 41 % of its breaking load at D2."}},
	}
}

func plainSheet() batch.Sheet {
	return batch.Sheet{
		Batch: batch.Batch{
			Code: "260302-long-bed-01", Date: calendar.NewDate(2026, time.March, 2), Machine: "long-bed", Sequence: 1,
			Status: batch.Released, Recipe: "P-13.5", Scale: 648 * measure.Millimetre, Ordered: 60, ToWind: 63,
			Setup: 6 * time.Minute, Run: 28*time.Minute + 21*time.Second, Ends: 34*time.Minute + 21*time.Second,
		},
		Version: 1, Gauge: thous(13.5), Tolerance: thous(0.3), BallEnd: true, CoreCut: 878 * measure.Millimetre,
		Core:   wire("MW-R-13.5", "music wire", material.Round, 13.5, 636_500_000, 0.878, 13.5),
		Spools: []batch.SpoolDraw{spool("012", "MW-R-13.5", "AD-2601", "rack A1", 63, 40_101, 41_000, 115_750)},
		For:    []batch.For{serves("O-26-101", 1, 2, 60, "Workshop at Low Ferry", "246.94 Hz", 0)},
	}
}
