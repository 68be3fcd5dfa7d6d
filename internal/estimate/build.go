package estimate

import (
	"encoding/json"
	"strconv"
)

// Build is the question: a string described in workshop units.
type Build struct {
	Core     Wire     `json:"core"`
	Layers   []Layer  `json:"layers"` // innermost first; none is a plain string
	BallEnd  bool     `json:"ball_end"`
	ScaleIn  float64  `json:"scale_in"`
	Pitch    Pitch    `json:"pitch"`
	Practice Practice `json:"practice"`
}

// Wire names an alloy and a section with its sizes in thousandths of an inch.
type Wire struct {
	Alloy         string  `json:"alloy"`
	Section       string  `json:"section"`
	SizeThou      float64 `json:"size_thou"`
	ThicknessThou float64 `json:"thickness_thou,omitempty"` // flat only
	Across        string  `json:"across,omitempty"`         // hex only: flats (default) or corners
}

// Layer is one wrap.
type Layer struct {
	Wire
	LayThou *float64 `json:"lay_thou"` // advance per turn; null or missing winds turn against turn
}

// Practice holds the shop's settings that differ for this string, in mm and turns; null keeps the shop's.
type Practice map[string]*float64

// Pitch is a note (E4, F#2, Bb1) or a number of hertz; in JSON a text, or a bare number.
type Pitch string

// UnmarshalJSON takes a text or a bare number.
func (p *Pitch) UnmarshalJSON(data []byte) error {
	var text string
	if err := json.Unmarshal(data, &text); err == nil {
		*p = Pitch(text)
		return nil
	}
	var hertz float64
	if err := json.Unmarshal(data, &hertz); err != nil {
		return err
	}
	*p = Pitch(strconv.FormatFloat(hertz, 'f', -1, 64))
	return nil
}
