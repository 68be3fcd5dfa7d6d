package stringdesign

import (
	"slices"
	"testing"

	"windingroom/internal/measure"
)

func TestCompare(t *testing.T) {
	tests := []struct {
		name           string
		set, reference []measure.Force
		total          measure.Force
		share          float64
		strings        []measure.Force
		most           int
	}{
		{"heavier in the bass", []measure.Force{70, 80, 95}, []measure.Force{70, 82, 88}, 5, 5.0 / 240, []measure.Force{0, -2, 7}, 2},
		{"lighter", []measure.Force{60, 70}, []measure.Force{72, 72}, -14, -14.0 / 144, []measure.Force{-12, -2}, 0},
		{"a seventh string", []measure.Force{70, 70, 70}, []measure.Force{70, 70}, 70, 0.5, []measure.Force{0, 0}, 0},
		{"nothing to compare with", []measure.Force{70}, nil, 70, 0, nil, -1},
		{"nothing at all", nil, nil, 0, 0, nil, -1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := Compare(tt.set, tt.reference)
			if c.Total != tt.total || !near(c.Share, tt.share, 1e-12) || !slices.Equal(c.Strings, tt.strings) || c.Most != tt.most {
				t.Errorf("got %+v", c)
			}
		})
	}
}
