package workshop

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"windingroom/internal/material"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// Receiving is what helps to write down a delivery.
type Receiving struct {
	Currency money.Currency
	Wires    []material.Wire
	Types    []stock.SpoolType
	Places   []string // where spools stand
	last     string   // code of the spool that came in last
}

// Receiving gives it. Only a lead, a bookkeeper or an owner may, as they receive.
func (s *Shop) Receiving(ctx context.Context) (out Receiving, err error) {
	if _, err := allow(ctx, "receiving wire", Lead, Bookkeeper); err != nil {
		return out, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		out = Receiving{}
		practice, err := r.Practice()
		if err != nil {
			return err
		}
		out.Currency = practice.Currency
		if out.Wires, err = r.Wires(); err != nil {
			return err
		}
		if out.Types, err = spoolTypes(r); err != nil {
			return err
		}
		spools, err := r.Spools()
		if err != nil {
			return err
		}
		for _, b := range spools {
			if b.Location != "" && b.Mass > 0 {
				out.Places = append(out.Places, b.Location)
			}
		}
		slices.Sort(out.Places)
		out.Places = slices.Compact(out.Places)
		out.last = lastCode(spools)
		return nil
	})
	return out, err
}

// lastCode gives the greatest numbered code among the spools received last.
func lastCode(spools []stock.Balance) string {
	last := slices.MaxFunc(append([]stock.Balance{{}}, spools...), func(a, b stock.Balance) int {
		return cmp.Or(cmp.Compare(a.ReceivedOn, b.ReceivedOn), cmp.Compare(len(a.Code), len(b.Code)), cmp.Compare(a.Code, b.Code))
	})
	prefix, digits := numbered(string(last.Code))
	if digits == "" {
		return ""
	}
	for _, b := range spools { // one that came in earlier may have a greater number
		if p, d := numbered(string(b.Code)); strings.EqualFold(p, prefix) && (len(d) > len(digits) || len(d) == len(digits) && d > digits) {
			digits = d
		}
	}
	return prefix + digits
}

// Codes proposes codes for as many new spools, that go on from the last one's number; none where it has no number to go on from.
func (r Receiving) Codes(n int) []string {
	prefix, digits := numbered(r.last)
	number, err := strconv.Atoi(digits)
	if err != nil {
		return nil
	}
	codes := make([]string, n)
	for i := range codes {
		codes[i] = fmt.Sprintf("%s%0*d", prefix, len(digits), number+1+i)
	}
	return codes
}

// numbered takes the number off the end of a code.
func numbered(code string) (prefix, digits string) {
	prefix = strings.TrimRight(code, "0123456789")
	return prefix, code[len(prefix):]
}
