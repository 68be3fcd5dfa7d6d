package sets

import (
	"windingroom/internal/problem"
)

// renamed gives a refusal of the engine with its fields named as the form names them: pairs of the one and the other name. What is no
// refusal of fields stays as it is.
func renamed(err error, names ...string) error {
	p := problem.From(err)
	if len(p.Errors) == 0 {
		return err
	}
	all := make(problem.Invalid, len(p.Errors))
	copy(all, p.Errors)
	for i := range all {
		for j := 0; j+1 < len(names); j += 2 {
			if all[i].Location == names[j] {
				all[i].Location = names[j+1]
			}
		}
	}
	return all
}
