package setwork

// An answer without what a set costs and might be sold for, for who may not see prices.

// Unpriced leaves the prices away.
func (a TensionAnswer) Unpriced() TensionAnswer {
	a.PriceAnswer = PriceAnswer{}
	return a
}

// Unpriced leaves the prices away.
func (a MatchAnswer) Unpriced() MatchAnswer {
	for i := range a.Positions {
		unprice(a.Positions[i].Alternatives, a.Positions[i].Beyond)
	}
	a.Recommended.unprice()
	return a
}

// Unpriced leaves the prices away.
func (a BalanceAnswer) Unpriced() BalanceAnswer {
	for i := range a.Positions {
		unprice(a.Positions[i].Alternatives, a.Positions[i].Beyond)
	}
	for i := range a.Answers {
		a.Answers[i].unprice()
	}
	return a
}

// Unpriced leaves the prices away.
func (a FindAnswer) Unpriced() FindAnswer {
	for i := range a.Found {
		a.Found[i].WireCost = nil
	}
	return a
}

func (s *SetAnswer) unprice() {
	s.PriceAnswer = PriceAnswer{}
	for i := range s.Strings {
		s.Strings[i].WireCost = nil
	}
}

func unprice(list []AlternativeAnswer, beyond *AlternativeAnswer) {
	for i := range list {
		list[i].WireCost = nil
	}
	if beyond != nil {
		beyond.WireCost = nil
	}
}
