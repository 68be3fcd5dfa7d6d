package batch

import "time"

// Progress is how far a batch has come.
type Progress struct {
	Tally
	Posted Results   // what results that stand say
	DoneAt time.Time // when its last result was posted; zero while none is
}

// Wound gives how many strings came off the machine so far, and how many of them are good.
func (p Progress) Wound() (strings, good int) {
	return p.Strings() + p.Posted.Good + p.Posted.Scrapped, p.Good + p.Posted.Good
}

// longestWatched is how long a batch may have been begun for its minutes to be believed: beyond it somebody went home in between.
const longestWatched = 12 * time.Hour

// Winding gives how long the strings of the tally took to wind, to the whole minute: the time since the batch was begun, less its setup
// where they are its first. Zero where that is not known.
func (p Progress) Winding(b Batch, now time.Time) time.Duration {
	if !p.Running() {
		return 0
	}
	took := now.Sub(p.BegunAt)
	if took > longestWatched {
		return 0
	}
	if p.Posted == (Results{}) {
		took -= b.Setup
	}
	return max(took, 0).Round(time.Minute)
}

// Behind says how much later than planned the unfinished batches of a machine end, as far as one can tell: day is when its day begins. A
// batch that runs needs its planned time for each string that is missing; one that should have begun begins now. Below zero is ahead.
// list is in sequence; known says whether there is anything to tell by.
func Behind(list []Batch, progress map[Code]Progress, day, now time.Time) (late time.Duration, known bool) {
	for _, b := range list {
		if b.Status != Released {
			continue
		}
		p := progress[b.Code]
		if strings, _ := p.Wound(); p.Running() || strings > 0 {
			left := b.Run
			if b.ToWind > 0 {
				left = b.Run * time.Duration(max(b.ToWind-strings, 0)) / time.Duration(b.ToWind)
			}
			if strings == 0 {
				left += max(b.Setup-now.Sub(p.BegunAt), 0)
			}
			return now.Add(left).Sub(day.Add(b.Ends)), true
		}
		if late = now.Sub(day.Add(b.Starts)); late > 0 {
			return late, true
		}
		return 0, false
	}
	return 0, false
}
