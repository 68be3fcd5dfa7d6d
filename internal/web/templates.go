package web

import (
	"embed"
	"html/template"

	"windingroom/internal/problem"
)

//go:embed templates/*.html
var templateFiles embed.FS

// One template for each page, each with the layout around it.
var (
	signInTemplate  = parse("sign_in.html")
	todayTemplate   = parse("today.html", "plan.html", "asked.html", "chart.html")
	aheadTemplate   = parse("ahead.html")
	buyingTemplate  = parse("buying.html")
	jobsTemplate    = parse("jobs.html")
	errorTemplate   = parse("error.html")
	explainTemplate = parse("explain.html")
)

func parse(files ...string) *template.Template {
	paths := []string{"templates/layout.html"}
	for _, f := range files {
		paths = append(paths, "templates/"+f)
	}
	return template.Must(template.New("layout.html").ParseFS(templateFiles, paths...))
}

// errorPage shows what was refused or went wrong.
type errorPage struct {
	frame
	Problem problem.Problem
}
