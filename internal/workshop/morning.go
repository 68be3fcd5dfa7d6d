package workshop

import (
	"strings"

	"windingroom/internal/purchase"
	"windingroom/internal/replenishment"
)

// Idea is what a night asks for from one supplier, with the purchase that answers it; no code where none does yet.
type Idea struct {
	replenishment.Purchase
	Code   purchase.Code
	Status purchase.Status
}

// Sent says whether the wire has been ordered since the night.
func (i Idea) Sent() bool { return i.Status == purchase.Sent || i.Status == purchase.PartReceived }

// Ideas puts what a night asks for beside the purchases that are open: a proposal to the same supplier, else one that was sent on the
// night's day or later.
func (n NightReport) Ideas(open []PurchaseStory) []Idea {
	ideas := make([]Idea, len(n.Purchases))
	for i, p := range n.Purchases {
		ideas[i].Purchase = p
		for _, o := range open {
			if !strings.EqualFold(o.Supplier, p.Supplier) || o.Open() && o.OrderedOn < n.Date {
				continue
			}
			if ideas[i].Code == "" || o.Status == purchase.Proposed {
				ideas[i].Code, ideas[i].Status = o.Code, o.Status
			}
		}
	}
	return ideas
}

// Morning is what a night leaves to do.
type Morning struct {
	Wires, Suppliers int // still to be ordered, and from how many
	Sent             int // purchases that were sent since
	Late             int // wires that run out before they can come, and that nobody has answered
}

// Morning counts it.
func (n NightReport) Morning(open []PurchaseStory) (m Morning) {
	for _, idea := range n.Ideas(open) {
		if idea.Sent() {
			m.Sent++
			continue
		}
		m.Suppliers++
		m.Wires += len(idea.Lines)
	}
	for _, w := range n.Unanswered() {
		if w.Alert == replenishment.Late {
			m.Late++
		}
	}
	return m
}
