package costing

import "math"

// Scrap is the scrapped strings of a batch. The normal ones are part of the cost of the good strings; the cost of the
// abnormal ones is an expense of the period (IAS 2, paragraph 16(a), from memory: abnormal amounts of wasted materials, labour or
// other production costs are left out of inventories).
type Scrap struct{ Normal, Abnormal int }

// SplitScrap says how many scrapped strings are normal: as many as it is expected to take, whole strings, to make the good ones at
// the recipe's yield: ⌈good ÷ yield⌉ − good. What goes beyond is abnormal. Where nothing is good nothing is normal: there is no
// output that could bear it. The split is of the whole batch, so it does not hang on how many results told of it. A yield
// that is not above 0 and below 1 expects no scrap.
func SplitScrap(good, scrapped int, yield float64) Scrap {
	scrapped = max(scrapped, 0)
	normal := min(scrapped, expectedScrap(good, yield))
	return Scrap{Normal: normal, Abnormal: scrapped - normal}
}

// expectedScrap gives the strings that are expected to be scrapped on the way to good ones.
func expectedScrap(good int, yield float64) int {
	if good <= 0 || !(yield > 0 && yield < 1) {
		return 0
	}
	const slack = 1e-9 // 43 good at a yield of 0.344 take 125, and not the 126 of a division in floating point
	return int(min(math.Ceil(float64(good)/yield-slack), math.MaxInt32)) - good
}
