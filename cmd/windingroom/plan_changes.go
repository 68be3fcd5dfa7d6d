package main

import (
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"windingroom/internal/batch"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/planning"
	"windingroom/internal/workshop"
)

// changeFlags are the flags of plan that ask for a day otherwise.
type changeFlags struct {
	pin, unpin, hold, resume, move, split, late, down, up []string
	overtime                                              string
	anew                                                  bool
}

func (f *changeFlags) add(flags *pflag.FlagSet) {
	flags.StringArrayVar(&f.pin, "pin", nil, "BATCH: keep it at its place")
	flags.StringArrayVar(&f.unpin, "unpin", nil, "BATCH: let it move again")
	flags.StringArrayVar(&f.hold, "hold", nil, "RECIPE@SCALE_IN or BATCH: do not wind these strings on the day")
	flags.StringArrayVar(&f.resume, "resume", nil, "RECIPE@SCALE_IN: wind them again")
	flags.StringArrayVar(&f.move, "move", nil, "BATCH=MACHINE:PLACE: put it there and pin it")
	flags.StringArrayVar(&f.split, "split", nil, "BATCH=STRINGS or BATCH=STRINGS:MACHINE: wind so many of its ordered strings on another machine")
	flags.StringArrayVar(&f.late, "late", nil, "BATCH=MINUTES: it takes so much longer than reckoned, in all")
	flags.StringArrayVar(&f.down, "down", nil, "MACHINE: it winds nothing more but what is released to it")
	flags.StringArrayVar(&f.up, "up", nil, "MACHINE: it is worked again")
	flags.StringVar(&f.overtime, "overtime", "", "MINUTES allowed on each machine")
	flags.BoolVar(&f.anew, "anew", false, "first forget all that was asked before")
}

// changes reads the flags; asked is false where there are none.
func (f *changeFlags) changes() (c workshop.DayChanges, asked bool, err error) {
	c.Anew = f.anew
	c.Pin, c.Unpin, c.Down, c.Up = codes[batch.Code](f.pin), codes[batch.Code](f.unpin), codes[catalog.MachineCode](f.down), codes[catalog.MachineCode](f.up)
	for _, text := range f.hold {
		if !strings.Contains(text, "@") {
			c.Hold = append(c.Hold, batch.Code(text))
			continue
		}
		h, err := heldStrings("hold", text)
		if err != nil {
			return c, false, err
		}
		c.HoldStrings = append(c.HoldStrings, h)
	}
	for _, text := range f.resume {
		h, err := heldStrings("resume", text)
		if err != nil {
			return c, false, err
		}
		c.Resume = append(c.Resume, h)
	}
	for _, text := range f.move {
		code, to, _ := strings.Cut(text, "=")
		machine, place, _ := strings.Cut(to, ":")
		n, err := strconv.Atoi(place)
		if err != nil || n < 1 || machine == "" {
			return c, false, usagef("--move %q is not BATCH=MACHINE:PLACE with a place from 1", text)
		}
		c.Move = append(c.Move, planning.Move{Batch: batch.Code(code), Machine: catalog.MachineCode(machine), Place: n})
	}
	for _, text := range f.split {
		code, rest, _ := strings.Cut(text, "=")
		strings_, machine, _ := strings.Cut(rest, ":")
		n, err := strconv.Atoi(strings_)
		if err != nil || n < 1 {
			return c, false, usagef("--split %q is not BATCH=STRINGS with strings from 1", text)
		}
		c.Split = append(c.Split, planning.Split{Batch: batch.Code(code), Strings: n, Machine: catalog.MachineCode(machine)})
	}
	for _, text := range f.late {
		code, by, _ := strings.Cut(text, "=")
		d, err := time.ParseDuration(by + "m")
		if err != nil {
			return c, false, usagef("--late %q is not BATCH=MINUTES", text)
		}
		c.Late = append(c.Late, planning.Delay{Batch: batch.Code(code), By: d})
	}
	if f.overtime != "" {
		o, err := time.ParseDuration(f.overtime + "m")
		if err != nil {
			return c, false, usagef("--overtime %q is not a number of minutes", f.overtime)
		}
		c.Overtime = &o
	}
	return c, c.Anew || c.String() != "", nil
}

func heldStrings(flag, text string) (planning.Held, error) {
	recipe, inches, _ := strings.Cut(text, "@")
	scale, err := measure.ParseInches(inches)
	if err != nil || recipe == "" {
		return planning.Held{}, usagef("--%s %q is not RECIPE@SCALE_IN such as W-46@25.5", flag, text)
	}
	return planning.Held{Recipe: catalog.RecipeCode(recipe), Scale: scale}, nil
}

func codes[C ~string](texts []string) []C {
	var list []C
	for _, t := range texts {
		list = append(list, C(t))
	}
	return list
}
