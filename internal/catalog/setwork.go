package catalog

import (
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// SetWork is what the shop judges and prices sets by.
type SetWork struct {
	CautionShare float64 // a string loaded to more than this share of its core's least strength is cautioned
	RefuseShare  float64 // and to more than this is not recommended

	// Limits of the strings that are made up from wires without a recipe.
	LeastCore float64 // size of the core as a share of the gauge
	MostCore  float64
	MostWrap  float64 // height of a wrap as a share of the core's size

	AddedTension measure.Force // what a set may pull more than the one it replaces before someone should judge the instrument

	LabourPerHour money.Minor // cost of a person's hour at the bench
	Margin        float64     // share of the price that is not cost of wire and labour
}

// DefaultSetWork gives what a new shop starts with. Common practice, no source; a shop sets its own.
func DefaultSetWork() SetWork {
	return SetWork{
		CautionShare: 0.60, RefuseShare: 0.70,
		LeastCore: 0.18, MostCore: 0.55, MostWrap: 1,
		AddedTension:  25,
		LabourPerHour: 0, Margin: 0.5,
	}
}

// Check names the setting that contradicts another, and says what would be right; empty where none does.
func (s SetWork) Check() (setting, problem string) {
	switch {
	case s.RefuseShare < s.CautionShare:
		return "refuse_breaking_share", "must not be below caution_breaking_share"
	case s.MostCore < s.LeastCore:
		return "core_share_most", "must not be below core_share_least"
	}
	return "", ""
}
