package web

import (
	"embed"

	"windingroom/internal/web/page"
)

//go:embed templates/*.html
var templateFiles embed.FS

// Pages that stand in no place.
var (
	signInTemplate  = page.Parse(templateFiles, "templates/sign_in.html")
	explainTemplate = page.Parse(templateFiles, "templates/explain.html")
)
