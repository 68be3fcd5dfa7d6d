package books

import (
	"context"
	"errors"
	"fmt"
	"math"

	"windingroom/internal/web/page"
)

// exportPage answers how far the file is that someone asked for, and gives it.
type exportPage struct {
	page.Frame
	Head  page.Head
	Acts  []page.Action
	Going *going // while it is being written
	Empty *page.Empty
}

// going is how far an export is.
type going struct {
	Bar   page.Fill
	Facts []page.Fact
}

// longFrom is how many movements to read and to write make an export a long one. Shorter ones come at once. Tests lower it.
var longFrom = 20_000

const exportsPath = "/books/exports"

// asker names who is signed in.
func asker(r *page.Request) string {
	person, _ := r.Person()
	return person.Name
}

// ask begins a long export, or leads to a short one.
func (p place) ask(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	e, err := exportOf(f.Get("of"), f.Get("as") == "csv", f.Get("unreconciled") == "true")
	if err != nil {
		return page.Reply{}, err
	}
	read, written, err := p.shop.BooksSize(r.Ctx(), e.from, e.to)
	if err != nil {
		return page.Reply{}, err
	}
	if read+written < p.runs.long {
		return page.Redirect(e.address()), nil
	}
	if err := p.runs.start(r.Ctx(), asker(r), e, read, written); err != nil {
		r.Say(page.Notice{Tone: page.Wrong, Text: page.Sentence(err.Error())})
	}
	return page.Redirect(exportsPath), nil
}

// exporting shows how far the export of who is signed in is, and leads to its file.
func (p place) exporting(r *page.Request) (page.Reply, error) {
	v := exportPage{Frame: r.Frame("File of the books")}
	run := p.runs.last(asker(r))
	if run == nil {
		v.Head = page.Head{Place: "Books", Answer: "No file is being written for you"}
		v.Empty = &page.Empty{Text: "Ask for the workbook of a month or a year. A long one is written here while you do something else; it waits for an hour.",
			Actions: []page.Action{page.Link("To the months", "/books")}}
		return page.Show(exportTemplate, v), nil
	}
	switch {
	case !run.ended():
		v.Refresh = 2
		v.Head = page.Head{Place: "Books", Answer: "The " + run.words() + " is being written",
			Note: "You may leave this page and come back to it from Books: the file waits for you."}
		v.Going = run.going(r)
		v.Acts = []page.Action{page.Button("Cancel", exportsPath+"/cancel").As("second"), page.Link("To the months", "/books").As("quiet")}
		return page.Show(exportTemplate, v).Fragment("going", "going"), nil
	case r.Part():
		r.Header("HX-Refresh", "true") // it is another page now
	case errors.Is(run.err, context.Canceled):
		v.Head = page.Head{Place: "Books", Answer: "The " + run.words() + " was not written", Note: "The service was stopped meanwhile. Nothing of it is kept."}
		v.Acts = []page.Action{run.button("Write it again")}
	case run.err != nil:
		p.runs.forget(asker(r), run)
		return p.refusedOff(r, run.export, run.err)
	default:
		v.Head = page.Head{Place: "Books", Answer: "The " + run.words() + " is ready", Note: run.told(r)}
		get := page.Link("Get the "+run.words(), exportsPath+"/file").As("")
		get.File = true
		v.Acts = []page.Action{get, page.Link("To the months", "/books")}
	}
	return page.Show(exportTemplate, v), nil
}

// going says how far a run is.
func (x *run) going(r *page.Request) *going {
	g := &going{}
	names := []string{"Read of the ledger", "Written"}
	for i := range x.step {
		done, of := int(x.step[i].done.Load()), int(x.step[i].of.Load())
		text := r.Units().Count(done) + " of " + r.Units().Count(of) + " movements"
		if i == 0 && x.step[1].done.Load() > 0 {
			text = "all " + r.Units().Count(of) + " movements that are needed"
		}
		g.Facts = append(g.Facts, page.Fact{Term: names[i], Text: text})
	}
	g.Bar = page.Of(fmt.Sprintf("%d %% done", int(100*x.share())), x.share(), 1)
	return g
}

// told says what a finished file is.
func (x *run) told(r *page.Request) string {
	megabytes := math.Round(float64(x.size)/1e5) / 10
	return fmt.Sprintf("%s movements, %s MB, written in %s s. It waits for an hour, or until you ask for another.", r.Units().Count(int(x.step[1].of.Load())),
		page.Number(max(0.1, megabytes)), page.Number(math.Round(x.took.Seconds()*10)/10))
}

// exported gives the finished file.
func (p place) exported(r *page.Request) (page.Reply, error) {
	run := p.runs.last(asker(r))
	if run == nil {
		return page.Redirect(exportsPath), nil
	}
	if _, _, err := p.shop.BooksSize(r.Ctx(), run.from, run.to); err != nil { // who asked may have lost the role meanwhile
		return page.Reply{}, err
	}
	body, done := run.open()
	if body == nil {
		return page.Redirect(exportsPath), nil
	}
	name, media := run.file()
	return page.LongFile(name, media, run.size, body, done), nil
}

// cancel stops an export and lets go of its file.
func (p place) cancel(r *page.Request) (page.Reply, error) {
	if run := p.runs.last(asker(r)); run != nil {
		p.runs.forget(asker(r), run)
		r.Say(page.Done("The " + run.words() + " is no longer written, and nothing of it is kept."))
	}
	return page.Redirect("/books"), nil
}

// waiting leads to the export of who is signed in, where there is one.
func (p place) waiting(r *page.Request) []page.Action {
	run := p.runs.last(asker(r))
	switch {
	case run == nil:
		return nil
	case !run.ended():
		return []page.Action{page.Link(fmt.Sprintf("Your %s is being written: %d %%", run.words(), int(100*run.share())), exportsPath)}
	case run.err == nil:
		return []page.Action{page.Link("Your "+run.words()+" is ready", exportsPath)}
	}
	return []page.Action{page.Link("Your "+run.words()+" was not written", exportsPath)}
}
