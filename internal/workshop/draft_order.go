package workshop

import (
	"context"
	"errors"
	"regexp"
	"slices"
	"strconv"

	"windingroom/internal/intake"
	"windingroom/internal/order"
)

// WouldTake tells the story of an order that is still being written, as if it were a draft: strings, wire, what is short. What of the form
// cannot be read yet is left out and listed. Nothing is kept. An order that the shop has under its code is told as if changed to the form.
// Everyone in the shop may ask.
func (s *Shop) WouldTake(ctx context.Context, form intake.OrderForm) (story OrderStory, unread intake.Problems, err error) {
	if _, err := allow(ctx, "working out an order", Roles()...); err != nil {
		return story, nil, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		known, err := knownToOrders(r, order.Code(form.Order))
		if err != nil {
			return err
		}
		var o order.Order
		if o, unread = intake.ReadOrder(form, known); len(unread) > 0 {
			var still intake.Problems
			if o, still = intake.ReadOrder(s.soFar(form, unread), known); len(still) > 0 {
				return nil // nothing of it can be read
			}
		}
		o.Status = order.Draft
		switch here, err := r.Order(o.Code); {
		case err == nil:
			o.Code = here.Code // as it is written there
		case !errors.Is(err, ErrNotFound):
			return err
		}
		story, err = s.tell(r, o)
		return err
	})
	return story, unread, err
}

// fault is where in a form something cannot be read.
var fault = regexp.MustCompile(`^lines\[(\d+)\](?:\.strings\[(\d+)\])?`)

// soFar gives a form without the lines and strings that cannot be read, and with something in the place of what stands at its head.
func (s *Shop) soFar(form intake.OrderForm, unread intake.Problems) intake.OrderForm {
	lines, strings := map[int]bool{}, map[[2]int]bool{}
	for _, p := range unread {
		switch m := fault.FindStringSubmatch(p.Column); {
		case p.Column == "order":
			form.Order = "unnamed"
		case p.Column == "customer":
			form.Customer = "unnamed"
		case p.Column == "ordered_on", p.Column == "due_on": // the one may be wrong beside the other
			form.OrderedOn, form.DueOn = s.Today().String(), s.Today().String()
		case m == nil:
		case m[2] == "":
			lines[digits(m[1])] = true
		default:
			strings[[2]int{digits(m[1]), digits(m[2])}] = true
		}
	}
	all := form.Lines
	form.Lines = nil
	for i, l := range all {
		had := len(l.Strings)
		rest := make([]intake.OrderFormString, 0, had)
		for j, str := range l.Strings {
			if !strings[[2]int{i, j}] {
				rest = append(rest, str)
			}
		}
		if l.Strings = slices.Clip(rest); !lines[i] && (had == 0 || len(rest) > 0) {
			form.Lines = append(form.Lines, l)
		}
	}
	return form
}

func digits(text string) int {
	n, _ := strconv.Atoi(text) // the pattern lets nothing but digits through
	return n
}
