package orders

import (
	"encoding/base64"
	"errors"
	"strings"

	"windingroom/internal/intake"
	"windingroom/internal/problem"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// importPage takes a folder's files: all of them or nothing.
type importPage struct {
	page.Frame
	Tabs    []page.Tab
	Head    page.Head
	Fault   string // of the choice of files
	Names   string // of the import files
	Files   []badFile
	More    int // bad rows that are not shown
	Report  *page.Table
	Ignored string
	Unsaid  string // of which alloys the files do not say whether there is nickel at their surface
	Checked string // the files that were checked, to be imported as they are; empty: to be chosen again
}

func (p place) importForm(r *page.Request) (page.Reply, error) {
	if !r.May(workshop.Lead, workshop.Bookkeeper) {
		_, err := p.shop.Import(r.Ctx(), nil, true) // which refuses, and says who may
		return page.Reply{}, err
	}
	return page.Show(importTemplate, newImport(r, "Import a folder's files")), nil
}

func newImport(r *page.Request, answer string) importPage {
	v := importPage{Frame: r.Frame("Import"), Tabs: tabs(r, "/import"), Names: strings.Join(intake.Files(), ", ")}
	v.Head = page.Head{Place: "Orders", Answer: answer, Note: "All of it is taken over, or nothing. What is here already stays; the same files a second time change nothing."}
	return v
}

// importFiles checks the files, or takes them over.
func (p place) importFiles(r *page.Request) (page.Reply, error) {
	if !r.May(workshop.Lead, workshop.Bookkeeper) {
		return p.importForm(r)
	}
	f, sent, err := r.Upload("files", mostSent)
	if err != nil {
		return page.Reply{}, err
	}
	if text := f.Get("checked"); text != "" {
		packed, err := base64.StdEncoding.DecodeString(text)
		if err != nil {
			return page.Reply{}, problem.ErrMalformed
		}
		sent = []page.Upload{{Name: "checked.zip", Body: packed}}
	}
	dir, err := newFolder(sent)
	var report workshop.ImportReport
	check := f.Get("do") != "import"
	if err == nil {
		report, err = p.shop.Import(r.Ctx(), dir, check)
	}
	var problems intake.Problems
	switch {
	case errors.As(err, &problems):
		return badImport(r, problems, dir), nil
	case err != nil && !known(err):
		return page.Reply{}, err
	case err != nil:
		v := newImport(r, "Nothing was imported")
		v.Fault = problem.From(err).Sentence()
		return page.Refused(importTemplate, v), nil
	case check:
		return checked(r, report, dir), nil
	}
	return r.Back("/orders", page.Done("Imported: "+report.String()+". "+unsaid(report)), nil)
}

func badImport(r *page.Request, problems intake.Problems, dir folder) page.Reply {
	v := newImport(r, page.Plural(len(problems), "thing is wrong", "things are wrong")+", so nothing was imported")
	v.Head.Note = "Mend the rows in the files and choose them again."
	v.Files, v.More = badFiles(problems, dir.text)
	return page.Refused(importTemplate, v)
}

// checked says what an import would do, and offers to do it with the same files.
func checked(r *page.Request, report workshop.ImportReport, dir folder) page.Reply {
	v := newImport(r, "The files are right. Nothing is imported yet")
	v.Head.Note = ""
	if !report.Changes() {
		v.Head.Answer = "Everything in these files is here already"
	} else if len(dir.packed) <= mostCarried {
		v.Checked = base64.StdEncoding.EncodeToString(dir.packed)
	}
	v.Report = reportTable(r, report)
	if len(report.Ignored) > 0 {
		v.Ignored = strings.Join(report.Ignored, ", ")
	}
	v.Unsaid = unsaid(report)
	return page.Show(importTemplate, v)
}

// unsaid says of which alloys nobody has said whether there is nickel at their surface; empty where there is none.
func unsaid(report workshop.ImportReport) string {
	if len(report.Unsaid) == 0 {
		return ""
	}
	return "alloys.csv says nothing of nickel at the surface of " + strings.Join(report.Unsaid, ", ") +
		": answers and sheets will say so, and to treat it as if there were. The column nickel (yes or no) says it."
}

func reportTable(r *page.Request, report workshop.ImportReport) *page.Table {
	u := r.Units()
	counted := func(head string, n func(intake.Count) int) page.Column[intake.Count] {
		return page.Column[intake.Count]{Head: head, Number: true, Cell: func(c intake.Count) page.Cell { return page.Text(u.Count(n(c))) }}
	}
	t := page.Plain("report", "What the import would do", []page.Column[intake.Count]{
		{Head: "File", Cell: func(c intake.Count) page.Cell { return page.Code(c.File, "") }},
		counted("New", func(c intake.Count) int { return c.Added }), counted("Changed", func(c intake.Count) int { return c.Changed }),
		counted("Here already", func(c intake.Count) int { return c.Unchanged }),
	}, report.Counts)
	return &t
}
