package planning

import (
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/order"
)

func TestCodesStayWithTheirStrings(t *testing.T) {
	in := oneMachine(making(time.Minute, 1, "C0"), making(time.Minute, 1, "C1"))
	in.Demands = append(want("O1", 5, 0), want("O2", 5, 1)...)
	in.Demands[1].Recipe = "R01"
	prefix := "B" + in.Date.Time().Format("060102") + "-"
	scale := in.Demands[0].Scale
	for _, c := range []struct {
		name   string
		before []batch.Batch
		last   int
		want   map[string]string // by recipe
	}{
		{"no plan before", nil, 0, map[string]string{"R01": "01", "R00": "02"}},
		{"one goes on, the other is new", []batch.Batch{{Code: batch.Code(prefix + "07"), Recipe: "R01", Scale: scale}}, 0, map[string]string{"R01": "07", "R00": "08"}},
		{"the same recipe at another length", []batch.Batch{{Code: batch.Code(prefix + "01"), Recipe: "R00", Scale: scale + 1}}, 0, map[string]string{"R01": "02", "R00": "03"}},
		{"others were given and went out", nil, 41, map[string]string{"R01": "42", "R00": "43"}},
		{"the part on the machine first", []batch.Batch{{Code: batch.Code(prefix + "03"), Recipe: "R00", Scale: scale, Machine: "M9"},
			{Code: batch.Code(prefix + "05"), Recipe: "R00", Scale: scale, Machine: "M1"}}, 0, map[string]string{"R00": "05", "R01": "06"}},
	} {
		in.Before, in.LastNumber = c.before, c.last
		for _, b := range planned(propose(t, in)) {
			if want := batch.Code(prefix + c.want[string(b.Recipe)]); b.Code != want {
				t.Errorf("%s: %s is %s, want %s", c.name, b.Recipe, b.Code, want)
			}
		}
	}
}

func TestADelayStaysWhenMoreIsWound(t *testing.T) {
	in := oneMachine(making(time.Minute, 1, "C0"))
	in.Demands = want("O1", 5, 0)
	kept := propose(t, in)
	kept.Machines[0].Batches[0].ToWind -= 2 // as with the yield that was learned then
	kept.Machines[0].Batches[0].Run, kept.Machines[0].Batches[0].Delay = 33*time.Minute, 30*time.Minute
	p := replan(t, in, kept, Changes{Resume: []Held{}})
	if b := planned(p)[0]; b.ToWind != 5 || b.Run != 35*time.Minute {
		t.Errorf("%d to wind in %s, want 5 in 35m", b.ToWind, b.Run)
	}
}

func TestProofOfADayThatDoesNotCompleteWhatIsLate(t *testing.T) {
	in := oneMachine(making(time.Minute, 1, "C0"))
	for _, c := range []struct {
		orders []order.Code
		want   string
	}{
		{nil, "nothing in the day is late; setup is the least possible"},
		{[]order.Code{"O1"}, "no order that this day completes is late; 1 order is late because it is not complete; setup is the least possible"},
		{[]order.Code{"O1", "O2"}, "no order that this day completes is late; 2 orders are late because they are not complete; setup is the least possible"},
	} {
		p := propose(t, in)
		p.Optimal = false
		p.Late = append(p.Late, c.orders...)
		if got := proof(&p, false); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}
