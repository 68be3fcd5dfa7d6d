package books

import (
	"windingroom/internal/web/page"
)

// close locks a month.
func (p place) close(r *page.Request) (page.Reply, error) {
	m, err := monthOf(r)
	if err != nil {
		return page.Reply{}, err
	}
	closed, err := p.shop.CloseMonth(r.Ctx(), m)
	if err != nil && !keeps(r) {
		return page.Reply{}, err
	}
	if err != nil {
		return r.Back("/books", page.Notice{}, err)
	}
	return r.Back(monthPath(m)+"/history", page.Done(named(m)+" is closed. Its figures have the hash "+shortHash(closed.Hash)+"."), nil)
}

// reopen opens the last closed month again. A reason that is missing stands beside its field.
func (p place) reopen(r *page.Request) (page.Reply, error) {
	m, err := monthOf(r)
	if err != nil {
		return page.Reply{}, err
	}
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	err = p.shop.ReopenMonth(r.Ctx(), m, f.Get("reason"))
	switch {
	case err == nil:
		return r.Back(monthPath(m)+"/history", page.Done(named(m)+" is open again. What it was closed with is kept below."), nil)
	case !r.May():
		return page.Reply{}, err
	}
	if err := f.Refuse(err); err != nil {
		return page.Reply{}, err
	}
	return p.showHistory(r, f, page.Refused)
}
