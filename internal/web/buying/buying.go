package buying

import (
	"errors"
	"fmt"
	"strings"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/problem"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// buying shows the last night's list and the purchases on their way.
func (p place) buying(r *page.Request) (page.Reply, error) {
	ctx := r.Ctx()
	night, err := p.shop.Reorder(ctx)
	checked := err == nil
	if err != nil && !errors.Is(err, workshop.ErrNotFound) {
		return page.Reply{}, err
	}
	open, err := p.shop.Purchases(ctx, workshop.PurchaseFilter{OpenOnly: true})
	if err != nil {
		return page.Reply{}, err
	}
	today := r.Site.Today()
	v := buyingPage{Frame: r.Frame("Buying"), CanAnswer: r.May(workshop.Lead), CanBuy: r.May(workshop.Lead), Purchases: purchasesView(open, today), Tomorrow: (today + 1).String()}
	if checked {
		v.Night = newNight(night, today, r.Units())
	}
	return page.Show(buyingTemplate, v), nil
}

// checkNow runs the nightly check of today.
func (p place) checkNow(r *page.Request) (page.Reply, error) {
	n, err := p.shop.RunNight(r.Ctx(), r.Site.Today())
	return r.Back("/buying", page.Done("Checked: "+counted(n)+"."), err)
}

// propose turns the night's list into purchases that are not yet sent.
func (p place) propose(r *page.Request) (page.Reply, error) {
	made, err := p.shop.ProposePurchases(r.Ctx(), 0, "")
	said := "The night asks for no purchase."
	if len(made) > 0 {
		codes := make([]string, len(made))
		for i, p := range made {
			codes[i] = string(p.Code)
		}
		said = fmt.Sprintf("Proposed: %s. Nothing is sent yet; what a person has changed stays as it is.", strings.Join(codes, ", "))
	}
	return r.Back("/buying", page.Done(said), err)
}

// answer notes what a person says to a wire's alert, and goes back to the list with a sentence.
func (p place) answer(r *page.Request) (page.Reply, error) {
	wire := material.WireCode(r.PostForm("wire"))
	var until calendar.Date
	var err error
	if text := r.PostForm("until"); text != "" {
		if until, err = calendar.ParseDate(text); err != nil {
			err = problem.At("until", err)
		}
	}
	if err == nil {
		_, err = p.shop.AnswerAlert(r.Ctx(), wire, r.PostForm("reason"), until)
	}
	said := fmt.Sprintf("Noted: the alert of %s was seen. It comes back when it rises.", wire)
	if !until.IsZero() {
		said = fmt.Sprintf("Noted: the alert of %s rests until %s, unless it rises.", wire, until)
	}
	return r.Back("/buying", page.Done(said), err)
}
