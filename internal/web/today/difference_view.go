package today

import (
	"fmt"

	"windingroom/internal/planning"
	"windingroom/internal/web/page"
)

// differenceView is what became of a batch since the last plan, in words.
type differenceView struct {
	Batch string
	Gone  bool // it is not on the page any more
	What  string
	Text  string
}

func differencesView(list []planning.Difference) []differenceView {
	all := make([]differenceView, len(list))
	for i, d := range list {
		all[i] = differenceView{Batch: string(d.Batch), Gone: d.What == planning.WentOut, What: d.What, Text: differenceText(d)}
	}
	return all
}

func differenceText(d planning.Difference) string {
	strings := fmt.Sprintf("%s at %s in", d.Recipe, d.Scale.InchText())
	switch d.What {
	case planning.CameIn:
		return fmt.Sprintf("%s, %s, at place %d of %s", strings, page.Plural(d.Is, "ordered string", "ordered strings"), d.To.Place, d.To.Machine)
	case planning.WentOut:
		return fmt.Sprintf("%s, %s, from place %d of %s", strings, page.Plural(d.Was, "ordered string", "ordered strings"), d.From.Place, d.From.Machine)
	case planning.Moved:
		text := fmt.Sprintf("%s, from place %d of %s to place %d of %s", strings, d.From.Place, d.From.Machine, d.To.Place, d.To.Machine)
		if d.Was != d.Is {
			text += fmt.Sprintf(", %d ordered instead of %d", d.Is, d.Was)
		}
		return text
	case planning.Resized:
		return fmt.Sprintf("%s, %d ordered instead of %d", strings, d.Is, d.Was)
	}
	return strings + ", from other spools"
}
