package today

import (
	"testing"

	"windingroom/internal/web/page/pagetest"
)

func TestTemplatesFitTheirPages(t *testing.T) {
	pagetest.Fits(t, todayTemplate, todayPage{})
	pagetest.Fits(t, batchTemplate, batchPage{})
	pagetest.Fits(t, benchTemplate, benchPage{})
	pagetest.Fits(t, weighTemplate, weighPage{})
	pagetest.Fits(t, aheadTemplate, aheadPage{})
}
