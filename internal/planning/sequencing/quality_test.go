package sequencing

import (
	"testing"
	"time"
)

// On lifelike rooms: lateness, setup and overtime in minutes, against the floors, due order and grouping.
func TestQuality(t *testing.T) {
	for _, c := range []struct {
		n    int
		dues bool
		load int64
	}{{20, noDues, 75}, {50, noDues, 75}, {50, noDues, 90}, {100, noDues, 75}, {200, noDues, 75}, {400, noDues, 75}, {400, noDues, 90},
		{20, mixedDues, 75}, {50, mixedDues, 75}, {100, mixedDues, 90}, {200, mixedDues, 90}, {400, mixedDues, 75}, {400, mixedDues, 90}} {
		var late, setup, over, floor, lateFloor, dueLate, dueSetup, groupSetup int64
		var took time.Duration
		proven, rooms := 0, int64(2)
		if c.n >= 200 && !testing.Short() {
			rooms = 4
		}
		for seed := range uint64(rooms) {
			p := room(seed, c.n, c.dues, c.load)
			begun := time.Now()
			r := Solve(p)
			took = max(took, time.Since(begun))
			b, d := Bound(p), dueOrder(p)
			if b.Setup > r.Value.Setup || b.Late > r.Value.Late {
				t.Fatalf("n %d seed %d: floor %+v above the plan %+v", c.n, seed, b, r.Value)
			}
			if b.Late == r.Value.Late {
				proven++
			}
			late, setup, over = late+r.Value.Late, setup+r.Value.Setup, over+r.Value.Overtime
			floor, lateFloor = floor+b.Setup, lateFloor+b.Late
			dueLate, dueSetup, groupSetup = dueLate+d.Value.Late, dueSetup+d.Value.Setup, groupSetup+grouped(p).Value.Setup
		}
		ratio := float64(setup) / float64(floor)
		t.Logf("%3d dues %-5v load %d: late %d (floor %d, proven %d/%d, due order %d), setup %d min, floor %d (%.3f), due order %d, grouped %d, overtime %d; at most %v",
			c.n, c.dues, c.load, late/rooms, lateFloor/rooms, proven, rooms, dueLate/rooms, setup/60/rooms, floor/60/rooms, ratio, dueSetup/60/rooms, groupSetup/60/rooms, over/60/rooms, took.Round(time.Millisecond))
		if !c.dues && c.n >= 50 && ratio > 1.18 {
			t.Errorf("%d batches: setup is %.3f of its floor, want at most 1.18", c.n, ratio)
		}
		if c.dues && c.n == 400 && late*100 > dueLate {
			t.Errorf("%d batches: lateness %d, want a hundredth of due order's %d", c.n, late, dueLate)
		}
	}
}
