package buying

import (
	"errors"
	"fmt"
	"html/template"
	"strings"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// morning shows the last night's list, and what of it is done.
func (p place) morning(r *page.Request) (page.Reply, error) {
	return p.showMorning(r, page.NewForm(nil), page.Show)
}

func (p place) showMorning(r *page.Request, f *page.Form, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	night, err := p.shop.Reorder(r.Ctx())
	if errors.Is(err, workshop.ErrNotFound) {
		return as(morningTemplate, noNight(r)), nil
	}
	if err != nil {
		return page.Reply{}, err
	}
	open, err := p.shop.Purchases(r.Ctx(), workshop.PurchaseFilter{OpenOnly: true})
	if err != nil {
		return page.Reply{}, err
	}
	return as(morningTemplate, newMorning(r, night, open, f)), nil
}

// checkNow runs the nightly check of today.
func (p place) checkNow(r *page.Request) (page.Reply, error) {
	n, err := p.shop.RunNight(r.Ctx(), r.Site.Today())
	return r.Back("/buying", page.Done("Checked: "+counted(n)+"."), err)
}

// propose turns the night's list, or one supplier's part of it, into purchases that are not yet sent.
func (p place) propose(r *page.Request) (page.Reply, error) {
	made, err := p.shop.ProposePurchases(r.Ctx(), 0, r.PostForm("supplier"))
	said := "The night asks for no purchase."
	if len(made) > 0 {
		codes := make([]string, len(made))
		for i, p := range made {
			codes[i] = string(p.Code)
		}
		said = fmt.Sprintf("Proposed: %s. Nothing is sent yet; what a person has changed stays as it is.", strings.Join(codes, ", "))
	}
	to := "/buying"
	if len(made) == 1 && err == nil {
		to = purchasePath(made[0].Code)
	}
	return r.Back(to, page.Done(said), err)
}

// answer notes what a person says to a wire's alert; what is refused is shown beside it, with what was typed.
func (p place) answer(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	var until calendar.Date
	if f.Get("until") != "" {
		until = page.Read(f, "until", calendar.ParseDate)
	}
	wire := material.WireCode(f.Get("wire"))
	if f.OK() {
		_, err = p.shop.AnswerAlert(r.Ctx(), wire, f.Get("reason"), until)
	}
	if err == nil && f.OK() {
		said := fmt.Sprintf("Noted: the alert of %s was seen. It comes back when it rises.", wire)
		if !until.IsZero() {
			said = fmt.Sprintf("Noted: the alert of %s rests until %s, unless it rises.", wire, r.Units().Date(until))
		}
		return r.Back("/buying", page.Done(said), nil)
	}
	if !mayBuy(r) {
		return r.Back("/buying", page.Notice{}, err)
	}
	if err := f.Refuse(err); err != nil {
		return page.Reply{}, err
	}
	return p.showMorning(r, f, page.Refused)
}
