// Package replenishment decides what wire to buy, from whom, how much and by when. It is everything of the nightly check
// that is pure: Night takes facts and gives an answer, the same for the same facts on every machine.
//
// Known demand is netted first, day by day; statistics cover only the demand that is not yet booked and will be drawn before
// a purchase can arrive (tier.go says which rule at which history). The nightly rule uses the gamma, normal and Student quantiles,
// SBA and TSB. The other published methods stand beside them because they check it or answer a question it does not
// ask: Croston and SBJ, the (Q,R) iteration, fill rates, the negative binomial and the compound Poisson distribution, Silver-Meal.
//
// Inside a calculation demand is a float64 in any one unit; the nightly rule uses milligrams and weeks of seven days. Masses and
// money that leave the package are exact.
package replenishment
