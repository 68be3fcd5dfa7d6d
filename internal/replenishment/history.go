package replenishment

import (
	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/stock"
)

// historyWeeks is how far back demand is looked at: three years. Older use says little about the next weeks (judgement).
const historyWeeks = 156

// Gap is a stretch of days, both included, on which a wire could not be drawn because there was none.
type Gap struct {
	Wire     material.WireCode
	From, To calendar.Date
}

// History is what one wire used, in milligrams.
type History struct {
	Weeks   []float64 // weeks of seven days that end yesterday, from that of the first use on, oldest first; weeks out of stock are left out
	Lines   []float64 // the single entries behind them
	Largest float64   // the largest entry of the last year
	LastUse calendar.Date
}

// Histories sorts usage before today by wire, in one pass. A week in which the wire was out of stock on four days or more is
// missing, not a week without demand (Agrawal and Smith, Naval Res. Logist. 43, 1996, read in an abstract, treat demand lost unseen; that a
// week is dropped at four days is judgement).
func Histories(today calendar.Date, wires []material.WireCode, usage []stock.Usage, gaps []Gap) []History {
	at := make(map[material.WireCode]int, len(wires))
	for i, w := range wires {
		at[w] = i
	}
	histories := make([]History, len(wires))
	weekly := make([][historyWeeks]float64, len(wires)) // by weeks before today
	oldest := make([]int, len(wires))                   // 1 + weeks before today of the first use
	for _, u := range usage {
		i, known := at[u.Wire]
		week := int(today-1-u.On) / 7
		if !known || u.On >= today || u.Mass <= 0 || week >= historyWeeks {
			continue
		}
		h, x := &histories[i], float64(u.Mass)
		weekly[i][week] += x
		oldest[i] = max(oldest[i], week+1)
		h.Lines = append(h.Lines, x)
		h.LastUse = max(h.LastUse, u.On)
		if u.On > today-366 {
			h.Largest = max(h.Largest, x)
		}
	}
	out := daysOut(today, at, gaps)
	for i := range histories {
		for week := oldest[i] - 1; week >= 0; week-- {
			if out[weekOf{i, week}] < 4 {
				histories[i].Weeks = append(histories[i].Weeks, weekly[i][week])
			}
		}
	}
	return histories
}

type weekOf struct{ wire, week int }

// daysOut counts the days out of stock by wire and week.
func daysOut(today calendar.Date, at map[material.WireCode]int, gaps []Gap) map[weekOf]int {
	days := map[weekOf]int{}
	for _, g := range gaps {
		i, known := at[g.Wire]
		if !known {
			continue
		}
		for on := max(g.From, today-7*historyWeeks); on <= min(g.To, today-1); on++ {
			days[weekOf{i, int(today-1-on) / 7}]++
		}
	}
	return days
}
