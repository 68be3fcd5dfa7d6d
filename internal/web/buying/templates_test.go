package buying

import (
	"testing"

	"windingroom/internal/web/page/pagetest"
)

func TestTemplatesFitTheirPages(t *testing.T) {
	pagetest.Fits(t, buyingTemplate, buyingPage{})
}
