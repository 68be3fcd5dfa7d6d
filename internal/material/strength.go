package material

import (
	"math"
	"sort"

	"windingroom/internal/measure"
)

// Grade names a table of tensile strength by diameter. An alloy without one has an unknown strength, not a guessed one.
type Grade string

// ASTMA228 is the grade of music spring quality wire.
const ASTMA228 Grade = "ASTM A228"

// tensileRow is a row of the ASTM A228 table: diameter in thousandths of an inch, strength in ksi.
type tensileRow struct{ thou, min, max float64 }

// a228 is the tensile strength of ASTM A228 music wire, read in a wire distributor's copy. The maximum at 36 thou is
// printed 255 there, below its minimum of 321: a misprint for about 355, which is what stands here.
var a228 = []tensileRow{
	{4, 439, 485}, {5, 426, 471}, {6, 415, 459}, {7, 407, 449}, {8, 399, 441}, {9, 393, 434}, {10, 387, 428},
	{11, 382, 422}, {12, 377, 417}, {13, 373, 412}, {14, 369, 408}, {15, 365, 404}, {16, 362, 400}, {18, 356, 393},
	{20, 350, 387}, {22, 345, 382}, {24, 341, 377}, {26, 337, 373}, {28, 333, 368}, {30, 330, 365}, {32, 327, 361},
	{34, 324, 358}, {36, 321, 355}, {38, 318, 352}, {40, 315, 349}, {42, 313, 346}, {45, 309, 342}, {48, 306, 339},
	{51, 303, 335}, {55, 300, 331}, {59, 296, 327}, {63, 293, 324}, {80, 282, 312}, {100, 271, 300}, {125, 261, 288},
	{250, 230, 255},
}

// The fit S = A/dᵐ of Shigley, Mechanical Engineering Design, table 10-4, for A228 wire: A = 2211 MPa·mmᵐ, m = 0.145
// (read second-hand; its inch form 201 kpsi read in the book's solutions). It lies 1 to 2 % above the table's minimum, so
// it serves only where the table ends.
const (
	fitMPa      = 2211
	fitExponent = 0.145
)

// MusicWireMinimum gives the least tensile strength of A228 wire of a diameter: linear between the rows of the table, by
// Shigley's fit outside them. The diameter must be positive.
func MusicWireMinimum(d measure.Length) measure.Stress {
	return musicWire(d, func(r tensileRow) float64 { return r.min })
}

// MusicWireMaximum gives the greatest tensile strength A228 allows at a diameter. Outside the table it is unknown.
func MusicWireMaximum(d measure.Length) (measure.Stress, bool) {
	if t := d.Thou(); t < a228[0].thou-sameRow || t > a228[len(a228)-1].thou+sameRow {
		return 0, false
	}
	return musicWire(d, func(r tensileRow) float64 { return r.max }), true
}

// sameRow: a size that was typed as a row of the table must find that row although it passed through metres.
const sameRow = 1e-9 // thou

func musicWire(d measure.Length, column func(tensileRow) float64) measure.Stress {
	t := d.Thou()
	i := sort.Search(len(a228), func(i int) bool { return a228[i].thou >= t-sameRow })
	switch {
	case i < len(a228) && a228[i].thou <= t+sameRow:
		return measure.FromKSI(column(a228[i]))
	case i == 0 || i == len(a228):
		return FittedTensile(d)
	}
	lo, hi := a228[i-1], a228[i]
	share := (t - lo.thou) / (hi.thou - lo.thou)
	return measure.FromKSI(column(lo) + float64(share*(column(hi)-column(lo))))
}

// FittedTensile gives Shigley's fit to the least tensile strength of A228 wire, whether or not the table has a row.
func FittedTensile(d measure.Length) measure.Stress {
	return measure.Stress(fitMPa * 1e6 / math.Pow(d.Millimetres(), fitExponent))
}

// MinimumTensile gives the least tensile strength of a core of this alloy; false where the alloy has no table. A hex core
// takes the row of the round wire of equal area (common practice, no source).
func (a Alloy) MinimumTensile(f Form) (measure.Stress, bool) {
	if a.Strength != ASTMA228 || f.Section == Flat {
		return 0, false
	}
	return MusicWireMinimum(f.AreaDiameter()), true
}

// musicWireTolerance lists the permitted variation of diameter in ASTM A228 (read in a distributor's copy): up to and
// including a diameter, plus or minus.
var musicWireTolerance = []struct{ upTo, plusMinus measure.Size }{
	{10 * measure.Thou, 2 * measure.Thou / 10},
	{28 * measure.Thou, 3 * measure.Thou / 10},
	{63 * measure.Thou, 4 * measure.Thou / 10},
	{80 * measure.Thou, 5 * measure.Thou / 10},
	{250 * measure.Thou, measure.Thou},
}

// DiameterTolerance gives the ± tolerance of A228 wire of a nominal diameter; false beyond the table, which runs from
// 4 to 250 thou.
func DiameterTolerance(d measure.Size) (measure.Size, bool) {
	if d < 4*measure.Thou {
		return 0, false
	}
	for _, t := range musicWireTolerance {
		if d <= t.upTo {
			return t.plusMinus, true
		}
	}
	return 0, false
}
