package page

// Tone says how something stands, beside the words that say it too.
type Tone string

// The tones; the empty one is plain.
const (
	Good  Tone = "good"
	Wait  Tone = "wait"  // something is still to be done, or to be looked at
	Wrong Tone = "wrong" // refused, late, broken
)

// Notice is a sentence at the top of a page: what was done, what to look at, why something was refused.
type Notice struct {
	Tone Tone // empty is Good
	Text string
	Undo *Undo // offers to take it back for ten seconds
}

// Undo is a form that takes a step back. It shows for ten seconds, longer while a finger or the keyboard rests on it; the step itself
// decides whether it can still be taken back.
type Undo struct {
	To     string // address that the form posts to
	Hidden []Pair
	Text   string // of the button; empty is "Undo"
}

// Pair is a name and its value.
type Pair struct{ Name, Value string }

// Done is a notice of something done.
func Done(text string) Notice { return Notice{Tone: Good, Text: text} }

// Undoing adds the way back, with its hidden fields as name, value, name, value.
func (n Notice) Undoing(to string, hidden ...string) Notice {
	n.Undo = &Undo{To: to, Hidden: pairs(hidden)}
	return n
}

// IsWrong says whether the notice is a refusal, which is read out at once.
func (n Notice) IsWrong() bool { return n.Tone == Wrong }

// Label is the button's text.
func (u Undo) Label() string {
	if u.Text == "" {
		return "Undo"
	}
	return u.Text
}

func pairs(list []string) []Pair {
	var all []Pair
	for i := 0; i+1 < len(list); i += 2 {
		all = append(all, Pair{list[i], list[i+1]})
	}
	return all
}
