package winding

import "windingroom/internal/measure"

// WoundLength gives the length that each layer covers on a string of a scale length: head, scale and what is wrapped beyond
// the nut.
func (a Allowances) WoundLength(scale measure.Size) measure.Size {
	return scale + a.woundBeyondScale()
}

// CoreCut gives the length to which the core, or plain wire, is cut: what is cut off after winding included.
func (a Allowances) CoreCut(scale measure.Size, ballEnd bool) measure.Size {
	return scale + a.coreBeyondScale(ballEnd)
}
