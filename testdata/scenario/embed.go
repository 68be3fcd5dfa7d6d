// Package scenario carries the invented shop of the demo inside the program, so that the demo runs from any folder.
package scenario

import "embed"

// Day is the demo's fixed day, YYYY-MM-DD: two demos give the same plan.
const Day = "2026-03-02"

// Shop is its name.
const Shop = "Thornmere String Works"

// Files is the import folder of the invented shop.
//
//go:embed *.csv
var Files embed.FS
