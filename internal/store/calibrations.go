package store

import (
	"time"

	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/workshop"
)

type calibrationRow struct {
	Number     int64
	Recipe     catalog.RecipeCode
	Scale      measure.Size
	Strings    int
	Mass       measure.Mass
	Cores      measure.Mass
	Ends       measure.Mass
	Resolution measure.Mass
	Computed   float64
	Gauges     int
	Gauge      float64
	GaugeSD    float64 `gorm:"column:gauge_sd"`
	GaugeStep  measure.Size

	GaugeComputed float64

	Vouched  bool
	Reverses *int64
	Note     string
	At       time.Time
	Person   string
	Key      *string
}

// Calibrations gives what finished strings weighed and measured, by number.
func (r *reader) Calibrations(recipes ...catalog.RecipeCode) ([]workshop.Calibration, error) {
	query, args := "SELECT * FROM calibrations ORDER BY number", []any(nil)
	if len(recipes) > 0 {
		query, args = "SELECT * FROM calibrations WHERE recipe IN ? ORDER BY number", []any{recipes}
	}
	rows, err := list[calibrationRow](r, query, args...)
	all := make([]workshop.Calibration, len(rows))
	for i, row := range rows {
		all[i] = workshop.Calibration{Number: row.Number, Recipe: row.Recipe, Scale: row.Scale, Strings: row.Strings, Mass: row.Mass, Cores: row.Cores,
			Ends: row.Ends, Resolution: row.Resolution, Computed: row.Computed, Gauges: row.Gauges, Gauge: row.Gauge, GaugeSD: row.GaugeSD,
			GaugeStep: row.GaugeStep, GaugeComputed: row.GaugeComputed, Vouched: row.Vouched, Note: row.Note, At: row.At.UTC(), Person: row.Person}
		if row.Reverses != nil {
			all[i].Reverses = *row.Reverses
		}
		if row.Key != nil {
			all[i].Key = *row.Key
		}
	}
	return all, err
}

// AddCalibration adds one under the next number.
func (t *tx) AddCalibration(c workshop.Calibration) error {
	if c.Key != "" {
		taken, err := one[int](&t.reader, "SELECT count(*) FROM calibrations WHERE key = ?", c.Key)
		if err != nil {
			return err
		}
		if taken > 0 {
			return named("calibration of recipe", c.Recipe, workshop.ErrExists)
		}
	}
	last, err := one[int64](&t.reader, "SELECT coalesce(max(number), 0) FROM calibrations")
	if err != nil {
		return err
	}
	var reverses any
	if c.Reverses != 0 {
		reverses = c.Reverses
	}
	c.Number = last + 1
	err = insert(t, "calibrations", "number, recipe, scale, strings, mass, cores, ends, resolution, computed, gauges, gauge, gauge_sd, gauge_step, gauge_computed, vouched, reverses, note, at, person, key",
		[]workshop.Calibration{c}, func(c workshop.Calibration) []any {
			return []any{c.Number, c.Recipe, c.Scale, c.Strings, c.Mass, c.Cores, c.Ends, c.Resolution, c.Computed, c.Gauges, c.Gauge, c.GaugeSD, c.GaugeStep, c.GaugeComputed,
				c.Vouched, reverses, c.Note, instant(c.At), c.Person, orNull(c.Key)}
		})
	return named("calibration of recipe", c.Recipe, err)
}

// calibrationChecks see whether what takes a calibration back names one of its recipe that takes back none.
var calibrationChecks = []check{
	`SELECT 'a calibration that takes another back names one of its recipe' AS invariant, c.recipe AS subject,
		'calibration ' || c.number || ' takes back ' || c.reverses AS detail
	FROM calibrations c LEFT JOIN calibrations o ON o.number = c.reverses
	WHERE c.reverses IS NOT NULL AND (o.number IS NULL OR o.recipe <> c.recipe OR o.reverses IS NOT NULL OR c.strings + c.gauges > 0)
	ORDER BY c.number`,

	`SELECT 'a calibration says what was weighed or measured' AS invariant, c.recipe AS subject,
		'calibration ' || c.number || ': ' || c.strings || ' strings of ' || c.mass || ' mg, ' || c.gauges || ' gauges' AS detail
	FROM calibrations c
	WHERE c.reverses IS NULL AND (c.strings + c.gauges = 0 OR (c.strings > 0) <> (c.mass > 0) OR (c.gauges > 0) <> (c.gauge > 0))
	ORDER BY c.number`,
}
