package testkit

import (
	"fmt"
	"testing/fstest"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/intake"
	"windingroom/internal/order"
)

// ScarceShop is import files of a shop with so little wire that its orders want for it.
var ScarceShop = fstest.MapFS{
	"wires.csv": {Data: []byte(`wire,alloy,section,size_thou,thickness_thou,usable_end_g,supplier,pack_kg,price_per_kg
MW-10,music-wire,round,10,,1,,2,30.00
MW-H-17,music-wire,hex,17,,1,,2,36.00
PB-11.5,phosphor-bronze-8,round,11.5,,2,,2,42.00
`)},
	"spools.csv": {Data: []byte(`spool,wire,lot,received_on,gross_g,tare_g,cost,location
S-1,MW-10,L1,2026-01-10,206,200,1.01,rack 1
S-2,MW-10,L2,2026-01-10,209,200,1.97,rack 1
S-3,MW-H-17,L3,2026-01-12,215,200,2.33,rack 2
S-4,MW-H-17,L4,2026-01-12,240,200,2.99,rack 2
S-5,PB-11.5,L5,2026-01-12,240,200,5.03,rack 2
S-6,PB-11.5,L5,2026-01-12,275,200,6.07,rack 2
`)},
	"recipes.csv": {Data: []byte(`recipe,gauge_thou,core,wrap_1,wrap_2,wrap_3,lay_1_thou,lay_2_thou,lay_3_thou,ball_end,yield,minutes_each
P-10,10,MW-10,,,,,,,yes,0.9,0.5
W-42.5,42.6,MW-H-17,PB-11.5,,,,,,yes,0.85,1.5
`)},
	"machines.csv": {Data: []byte(`machine,winds,longest_mm,minutes_per_day
a,plain,1000,300
b,both,1000,90
`)},
}

// scarceRecipes are the recipes by string position.
var scarceRecipes = []string{1: "P-10", 2: "W-42.5"}

// ScarceOrder writes an order of the scarce shop: plain strings in position 1 and wound ones in position 2, each in a line of its own.
func ScarceOrder(code order.Code, plain, wound int, due calendar.Date) intake.OrderForm {
	f := intake.OrderForm{Order: string(code), OrderedOn: "2026-02-01", DueOn: due.String(), Customer: "Ada Quill"}
	for position, n := range []int{1: plain, 2: wound} {
		if n > 0 {
			f.Lines = append(f.Lines, intake.OrderFormLine{Line: fmt.Sprint(position), Quantity: fmt.Sprint(n), Strings: []intake.OrderFormString{
				{Position: "1", Recipe: scarceRecipes[position], Scale: "25", Pitch: "E4"},
			}})
		}
	}
	return f
}

// MorningOf gives half past six, UTC, of a day.
func MorningOf(day calendar.Date) time.Time {
	return day.In(time.UTC).Add(6*time.Hour + 30*time.Minute)
}
