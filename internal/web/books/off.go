package books

import (
	"errors"
	"net/http"
	"slices"

	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// offPage says which checks of some books differ, in place of their file.
type offPage struct {
	page.Frame
	Head  page.Head
	Acts  []page.Action
	Table page.Table
}

// off gives the checks that differ.
func off(checks []workshop.Check) []workshop.Check {
	return slices.DeleteFunc(slices.Clone(checks), func(c workshop.Check) bool { return c.Difference() == 0 })
}

// refusedOff answers books that are off with what is; any other error stays one.
func (p place) refusedOff(r *page.Request, e export, err error) (page.Reply, error) {
	var b booksOff
	if !errors.As(err, &b) {
		return page.Reply{}, err
	}
	v := offPage{Frame: r.Frame("The books do not tie out")}
	v.Head = page.Head{Place: "Books", Answer: "The books do not tie out: the " + e.words() + " is kept back",
		Note: page.Plural(len(b.checks), "check differs.", "checks differ.") + " Whoever looks after the service runs windingroom verify; the file can be had all the same, to look into it."}
	f := figures{r: r, month: e.from, currency: b.currency}
	v.Table = page.Plain("checks", "What differs", f.checksSpec().Columns, b.checks)
	if e.from == e.to {
		v.Acts = append(v.Acts, page.Link("All checks of "+named(e.from), monthPath(e.from)+"/checks"))
	}
	e.all = true
	v.Acts = append(v.Acts, e.button("Get it all the same").As("quiet"))
	return page.Show(offTemplate, v).Status(http.StatusConflict), nil
}
