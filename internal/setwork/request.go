package setwork

import (
	"encoding/json"
	"fmt"

	"windingroom/internal/estimate"
	"windingroom/internal/fields"
)

// MatchRequest asks for a set in another alloy.
type MatchRequest struct {
	Set            SetOf
	Alloy          string   // of the outermost wrap of the wound strings
	Tolerance      *float64 // percent of the wanted tension; nil for DefaultTolerance
	HeldOnly       bool     // nothing but what the shelf holds
	PlainLighter   float64  // percent by which plain strings are to pull less than now
	MagneticPickup bool     // the instrument has one
	Quantity       int      // of equal sets made at once, which share the setup; 0 for one
}

// TensionRequest asks what a set does at pitch, and beside another one where there is one.
type TensionRequest struct {
	Set            SetOf
	Reference      SetOf
	MagneticPickup bool
	Quantity       int  // of equal sets made at once, which share the setup; 0 for one
	Batched        bool // the strings are wound among others, as a standing set's always are: no setup is in the price
}

// BalanceRequest asks for strings that pull as wanted.
type BalanceRequest struct {
	Set            []WantedString
	Alloy          string   // of the outermost wrap of wound strings
	Equal          *float64 // newtons on each string
	First, Last    *float64 // newtons on the first and the last string; evenly between
	Reference      SetOf    // whose tensions are wanted, position by position
	Tolerance      *float64
	HeldOnly       bool // nothing but what the shelf holds; else also wire that can be bought
	MagneticPickup bool
	Quantity       int // of equal sets made at once, which share the setup; 0 for one
}

// WantedString is a string of which only scale and pitch are settled.
type WantedString struct {
	ScaleIn float64
	Pitch   estimate.Pitch
	Plain   *bool // nil where it may be either
}

// FindRequest asks with which wires a gauge can be made.
type FindRequest struct {
	GaugeThou float64
	Alloy     string         // of the outermost wrap, or of a plain wire
	Tolerance *float64       // thousandths of an inch; nil for half a thousandth
	ScaleIn   float64        // with pitch: at what tension the string sits
	Pitch     estimate.Pitch // empty for none
	HeldOnly  bool
}

// SetOf is a set: a standing one by its code, or strings.
type SetOf struct {
	Standing string
	Strings  []SetString
	given    bool // although it may hold nothing
}

func (s SetOf) is() bool { return s.given || s.Standing != "" || len(s.Strings) > 0 }

// SetString is one string of a set: by its recipe, or spelled out as core and wraps, wound turn against turn.
type SetString struct {
	Recipe  string
	Core    string   // code of a wire; empty where the recipe says it
	Wraps   []string // innermost first
	ScaleIn float64
	Pitch   estimate.Pitch
}

// mostStrings bounds a set: no instrument that this trade strings as one set has more.
const mostStrings = 24

// DecodeMatch reads a match from JSON; the error is fields.Invalid and lists every field at fault.
func DecodeMatch(data []byte) (MatchRequest, error) {
	var q MatchRequest
	err := decode(data, func(o *fields.Object, problems *fields.Invalid) {
		q.Set = takeSet(o, "set", problems)
		o.Take("alloy", &q.Alloy, "the code of an alloy in quotes")
		o.Take("tolerance_percent", &q.Tolerance, "a number of percent")
		o.Take("held_only", &q.HeldOnly, "true or false")
		o.Take("plain_lighter_percent", &q.PlainLighter, "a number of percent")
		o.Take("magnetic_pickup", &q.MagneticPickup, "true or false")
		o.Take("quantity", &q.Quantity, "a number of sets")
	})
	return q, err
}

// DecodeTension reads a tension request from JSON; the error is fields.Invalid.
func DecodeTension(data []byte) (TensionRequest, error) {
	var q TensionRequest
	err := decode(data, func(o *fields.Object, problems *fields.Invalid) {
		q.Set = takeSet(o, "set", problems)
		q.Reference = takeSet(o, "reference", problems)
		o.Take("magnetic_pickup", &q.MagneticPickup, "true or false")
		o.Take("quantity", &q.Quantity, "a number of sets")
	})
	return q, err
}

// DecodeBalance reads a balance request from JSON; the error is fields.Invalid.
func DecodeBalance(data []byte) (BalanceRequest, error) {
	var q BalanceRequest
	err := decode(data, func(o *fields.Object, problems *fields.Invalid) {
		for i, raw := range takeList(o, "set", problems) {
			var w WantedString
			s := fields.Read(at("set", i), "", raw, problems)
			s.Take("scale_in", &w.ScaleIn, "a number of inches such as 25.5")
			s.Take("pitch", &w.Pitch, "a note such as A2 or a number of hertz")
			s.Take("plain", &w.Plain, "true, false or null for either")
			s.RefuseRest()
			q.Set = append(q.Set, w)
		}
		o.Take("alloy", &q.Alloy, "the code of an alloy in quotes")
		o.Take("equal_n", &q.Equal, "a number of newtons")
		o.Take("first_n", &q.First, "a number of newtons")
		o.Take("last_n", &q.Last, "a number of newtons")
		q.Reference = takeSet(o, "reference", problems)
		o.Take("tolerance_percent", &q.Tolerance, "a number of percent")
		o.Take("held_only", &q.HeldOnly, "true or false")
		o.Take("magnetic_pickup", &q.MagneticPickup, "true or false")
		o.Take("quantity", &q.Quantity, "a number of sets")
	})
	return q, err
}

// DecodeFind reads a search for recipes from JSON; the error is fields.Invalid.
func DecodeFind(data []byte) (FindRequest, error) {
	var q FindRequest
	err := decode(data, func(o *fields.Object, _ *fields.Invalid) {
		o.Take("gauge_thou", &q.GaugeThou, "a number of thousandths of an inch")
		o.Take("alloy", &q.Alloy, "the code of an alloy in quotes")
		o.Take("tolerance_thou", &q.Tolerance, "a number of thousandths of an inch")
		o.Take("scale_in", &q.ScaleIn, "a number of inches such as 25.5")
		o.Take("pitch", &q.Pitch, "a note such as A2 or a number of hertz")
		o.Take("held_only", &q.HeldOnly, "true or false")
	})
	return q, err
}

func decode(data []byte, take func(*fields.Object, *fields.Invalid)) error {
	var problems fields.Invalid
	if err := fields.Syntax(data); err != nil {
		problems.Add("request", err.Error())
		return problems
	}
	o := fields.Read("", "request", data, &problems)
	take(o, &problems)
	o.RefuseRest()
	return problems.OrNil()
}

// takeSet reads a list of strings, or the code of a standing set in quotes.
func takeSet(o *fields.Object, name string, problems *fields.Invalid) SetOf {
	var raw json.RawMessage
	if o.Take(name, &raw, "a list of strings, or the code of a standing set in quotes"); raw == nil {
		return SetOf{}
	}
	set := SetOf{given: true}
	if json.Unmarshal(raw, &set.Standing) == nil {
		return set
	}
	var list []json.RawMessage
	if json.Unmarshal(raw, &list) != nil {
		problems.Add(o.Path(name), "must be a list of strings, or the code of a standing set in quotes")
	}
	for i, data := range bounded(list, o.Path(name), problems) {
		var s SetString
		f := fields.Read(at(name, i), "", data, problems)
		f.Take("recipe", &s.Recipe, "the code of a recipe in quotes")
		f.Take("core", &s.Core, "the code of a wire in quotes")
		f.Take("wraps", &s.Wraps, "a list of codes of wires in quotes, innermost first")
		f.Take("scale_in", &s.ScaleIn, "a number of inches such as 25.5")
		f.Take("pitch", &s.Pitch, "a note such as E4 or a number of hertz")
		f.RefuseRest()
		set.Strings = append(set.Strings, s)
	}
	return set
}

func takeList(o *fields.Object, name string, problems *fields.Invalid) []json.RawMessage {
	var list []json.RawMessage
	o.Take(name, &list, "a list of strings")
	return bounded(list, o.Path(name), problems)
}

func bounded(list []json.RawMessage, path string, problems *fields.Invalid) []json.RawMessage {
	if len(list) <= mostStrings {
		return list
	}
	problems.Add(path, fmt.Sprintf("must list at most %d strings", mostStrings))
	return nil
}

// at names an item of a list as JSON paths do.
func at(list string, i int) string { return fmt.Sprintf("%s[%d]", list, i) }
