package setwork

import (
	"fmt"

	"windingroom/internal/measure"
)

// Caution is what a person should know of a string or a set: a sentence, with at most one pull in it, so that a page can print that in
// the units of the shop. As text, and so in JSON, it has the pull in newtons and pounds-force.
type Caution struct {
	Before string
	Pull   measure.Force // zero: none
	After  string
}

// warn gives a caution without a pull.
func warn(format string, args ...any) Caution { return Caution{Before: fmt.Sprintf(format, args...)} }

// In gives the sentence with its pull as pull prints it.
func (c Caution) In(pull func(measure.Force) string) string {
	if c.Pull == 0 {
		return c.Before + c.After
	}
	return c.Before + pull(c.Pull) + c.After
}

// Texts gives the sentences of cautions with their pulls as pull prints them.
func Texts(list []Caution, pull func(measure.Force) string) (all []string) {
	for _, c := range list {
		all = append(all, c.In(pull))
	}
	return all
}

// String gives the sentence in newtons and pounds-force.
func (c Caution) String() string {
	return c.In(func(f measure.Force) string { return fmt.Sprintf("%.1f N (%.1f lbf)", float64(f), f.PoundsForce()) })
}

// MarshalText gives the sentence as String does. It does not fail.
func (c Caution) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText takes a whole sentence. It does not fail.
func (c *Caution) UnmarshalText(text []byte) error {
	*c = Caution{Before: string(text)}
	return nil
}
