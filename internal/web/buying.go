package web

import (
	"errors"
	"fmt"
	"net/http"

	"github.com/gin-gonic/gin"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/problem"
	"windingroom/internal/workshop"
)

// buying shows the last night's list and the purchases on their way.
func (s *server) buying(c *gin.Context) (reply, error) {
	ctx := c.Request.Context()
	night, err := s.shop.Reorder(ctx)
	checked := err == nil
	if err != nil && !errors.Is(err, workshop.ErrNotFound) {
		return reply{}, err
	}
	open, err := s.shop.Purchases(ctx, workshop.PurchaseFilter{OpenOnly: true})
	if err != nil {
		return reply{}, err
	}
	f := s.frame(c, "Buying")
	f.Flash = s.said(c)
	page := buyingPage{frame: f, Purchases: purchasesView(open, s.shop.Today()), Tomorrow: (s.shop.Today() + 1).String()}
	page.CanAnswer = f.Person != nil && (f.Person.Role == workshop.Lead || f.Person.Role == workshop.Owner)
	if checked {
		page.Night = newNight(night, s.shop.Today(), s.shop.Zone)
	}
	return show(buyingTemplate, page), nil
}

// answer notes what a person says to a wire's alert, and goes back to the list with a sentence.
func (s *server) answer(c *gin.Context) (reply, error) {
	wire := material.WireCode(c.PostForm("wire"))
	var until calendar.Date
	var err error
	if text := c.PostForm("until"); text != "" {
		if until, err = calendar.ParseDate(text); err != nil {
			err = problem.At("until", err)
		}
	}
	if err == nil {
		_, err = s.shop.AnswerAlert(c.Request.Context(), wire, c.PostForm("reason"), until)
	}
	switch p := problem.From(err); {
	case err == nil && until.IsZero():
		s.say(c, flash{Text: fmt.Sprintf("Noted: the alert of %s was seen. It comes back when it rises.", wire)})
	case err == nil:
		s.say(c, flash{Text: fmt.Sprintf("Noted: the alert of %s rests until %s, unless it rises.", wire, until)})
	case p.Status < http.StatusInternalServerError:
		s.say(c, flash{Text: p.Sentence(), Refused: true})
	default:
		return reply{}, err
	}
	return redirect("/buying"), nil
}
