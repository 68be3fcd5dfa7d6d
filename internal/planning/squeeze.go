package planning

// squeeze puts strings that were left out where the day that stands still has time for them and spools that no other machine has
// then: first what completes an order, then single strings, in due order, until nothing fits. Admission reckons with sums
// of wire and time; here every spool and minute is known, and a machine that had to part with a wire can have it later.
func (d *draft) squeeze(last bool) *draft {
	c := d.closing(last)
	for more := true; more; {
		more = false
		for _, order := range c.orders {
			if c.complete(order) || !c.hopeful(order) {
				continue
			}
			if trial := (&closing{draft: c.clone(), last: last}); trial.finish(order) {
				c, more = trial, true
			}
		}
		for _, order := range c.orders {
			for _, i := range order {
				more = c.place(i) > 0 || more
			}
		}
	}
	return c.draft
}

// hopeful says whether every position of an order that wants strings could have one.
func (c *closing) hopeful(order []int) bool {
	for _, i := range order {
		if c.planned[i] < c.demands[i].Strings && !c.try(c.groupOf[i]).can {
			return false
		}
	}
	return true
}

// finish plans all that an order still wants; where it cannot, the day is spoilt.
func (c *closing) finish(order []int) bool {
	c.renew()
	for _, i := range order {
		c.place(i)
	}
	return c.complete(order)
}

// place plans what fits of a demand and gives how many strings that are.
func (c *closing) place(demand int) int {
	done, g := 0, c.groupOf[demand]
	for {
		left := c.demands[demand].Strings - c.planned[demand]
		if left == 0 || !c.try(g).can {
			return done
		}
		o := c.bestOffer(g, left)
		if o.strings == 0 {
			return done
		}
		c.draft = o.draft
		c.planned[demand] += o.strings
		done += o.strings
		c.renew()
	}
}

// bestOffer gives the place that takes most of n strings; of those a batch that grows before a new one, then the one that adds
// least time.
func (c *closing) bestOffer(group, n int) offer {
	var best offer
	openings := c.openings(group)
	keep := func(o offer) {
		if o.strings > best.strings || o.strings == best.strings && o.strings > 0 && o.before(best) {
			best = o
		}
	}
	for _, at := range openings {
		o, _ := c.offer(group, at, n)
		keep(o)
	}
	if best.strings > 0 {
		return best
	}
	for _, at := range openings {
		for fits, not := 0, n; not-fits > 1; {
			mid := fits + (not-fits)/2
			if o, _ := c.offer(group, at, mid); o.draft != nil {
				fits = mid
				keep(o)
			} else {
				not = mid
			}
		}
	}
	return best
}
