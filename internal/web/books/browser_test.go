package books_test

import (
	"strings"
	"testing"

	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/web/books"
	"windingroom/internal/workshop"
)

// TestTheBookkeepersDay goes from sign-in over a month that cannot close yet, its numbers and where they come from, to a month that is
// closed.
func TestTheBookkeepersDay(t *testing.T) {
	shop, day := march(t)
	received(t, shop)
	name := testkit.Person(t, shop, workshop.Bookkeeper)
	b := visit.Open(t, shop).Browse(t)
	b.Go("/books")
	b.Type("#f-name", name)
	b.Type("#f-password", testkit.Password+"\n")
	b.See(".against")
	b.Check("books-cannot-close")
	windAll(t, shop, day)
	b.Width(1280)
	b.Go("/books")
	b.Click(".closing a.button", "#roll tfoot")
	b.Check("books-month")
	b.PDF("books-month", "A4")
	b.Width(1280)
	b.Click("#roll tfoot td:nth-child(4) a", "#wires tbody a")
	b.Check("books-total")
	b.Width(1280)
	b.Click("#wires tbody a", "#lines tbody")
	b.Check("books-explained")
	b.Width(1280)
	if text := visit.Ask[string](b, `document.querySelector("#lines").textContent`); !strings.Contains(text, "wound by Ada") || !strings.Contains(text, "batch B260302") {
		t.Errorf("the movements do not lead to batch and person: %s", text)
	}
	b.Click("a[href='/books/months/2026-03']", "#roll tfoot")
	b.Click("nav.tabs a[href$='/methods']", "#by-method tfoot")
	b.Check("books-by-method")
	b.Width(1280)
	b.Click("nav.tabs a[href$='/value']", "#value tfoot")
	b.Check("books-value")
	b.PDF("books-value", "Letter")
	b.Width(1280)
	b.Click("#value tbody td:nth-child(4) a", "#layers tfoot")
	b.Check("books-layers")
	b.Width(1280)
	b.Go("/books/months/2026-03/value")
	b.Click("#value tbody td:nth-child(5) a", "#steps tfoot")
	b.Check("books-average")
	b.Width(1280)
	b.Click(".acts a[href$='/value']", "#value tfoot")
	b.Click("nav.tabs a[href$='/checks']", "#checks tbody")
	b.Check("books-checks")
	b.Width(1280)
	b.Click("nav.tabs a[href$='/history']", ".closing .ask summary")
	b.Click(".closing .ask summary", ".asking button")
	b.Click(".asking button", ".whole")
	b.Click("nav a[href='/books']", "#months tbody")
	b.Check("books")
}

// TestTheOtherBooksPages notes an invoice and chooses a method.
func TestTheOtherBooksPages(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	received(t, shop)
	b := visit.Open(t, shop).BrowseAs(t, workshop.Bookkeeper)
	b.Go("/books/invoices")
	b.Check("books-invoices")
	b.Width(1280)
	b.Click("#due tbody td:last-child a", "#f-purchase:not([value=''])")
	b.Type("#f-number", "R-77")
	b.Type("#f-amount", "16.50\n")
	b.See(".notice.good")
	b.Click("nav.tabs a[href='/books/methods']", "#f-reason")
	b.Type("#f-reason", "the auditor asks\n")
	b.See(".notice.good")
	b.Check("books-methods")
}

// TestClosingWithoutJavaScript closes a month by forms alone; its owner opens it again, and must say why.
func TestClosingWithoutJavaScript(t *testing.T) {
	shop := closed(t)
	b := visit.Open(t, shop).BrowseAs(t, workshop.Owner)
	b.WithoutJavaScript()
	b.Go("/books")
	b.Click(".closing .ask summary", ".asking button")
	b.Click(".asking button", "#f-reason")
	b.Check("books-reopen")
	b.Type("#f-reason", "an invoice came late\n")
	b.See(".notice.good")
}

// TestALongExportIsWaitedFor asks for a year, sees how far it is, and gets its file: the page says so by itself, with JavaScript and without.
func TestALongExportIsWaitedFor(t *testing.T) {
	books.EveryExportIsLong(t)
	shop := testkit.ScenarioShop(t)
	g := gated(shop)
	b := visit.Open(t, shop).BrowseAs(t, workshop.Bookkeeper)
	ask := ".files .acts form:first-child button"
	b.Go("/books")
	g.hold()
	b.Click(ask, "#going")
	b.Check("books-export-running")
	g.let()
	b.See("a[download]")
	b.Check("books-export-ready")
	b.WithoutJavaScript()
	b.Width(1280)
	b.Go("/books")
	b.See(".waiting a")
	g.hold()
	b.Click(ask, "#going")
	g.let()
	b.See("a[download]")
}
