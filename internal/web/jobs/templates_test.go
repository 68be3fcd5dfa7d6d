package jobs

import (
	"testing"

	"windingroom/internal/web/page/pagetest"
)

func TestTemplatesFitTheirPages(t *testing.T) {
	pagetest.Fits(t, jobsTemplate, jobsPage{})
}
