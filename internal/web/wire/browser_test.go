package wire_test

import (
	"testing"

	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

// TestWireInBrowser has a lead take a delivery in, label it, open a spool by its scanned label, weigh it, count, and follow an order to its
// lots.
func TestWireInBrowser(t *testing.T) {
	shop, wound := woundShop(t)
	b := visit.Open(t, shop).BrowseAs(t, workshop.Lead)
	b.Excuse("422")
	b.Go("/wire")
	b.Check("wire")
	b.Click(".tabs a[href='/wire/receive']", "#f-gross_g-0")
	b.Type("#f-wire-0", "MW-H-13.0")
	b.Type("#f-lot-0", "L9")
	b.Type("#f-gross_g-0", "400")
	b.Type("#f-tare_g-0", "100")
	b.Type("#f-cost", "12.5o\n")
	b.See("#f-cost-wrong")
	b.Check("receive-refused")
	visit.Ask[string](b, `document.querySelector("#f-cost").value = ""`)
	b.Type("#f-cost", "12.50\n")
	b.See("button[value=post]")
	b.Check("receive-split")
	b.Click("button[value=post]", ".sticker")
	b.Check("labels")

	b.Go("/wire")
	b.Type("#f-code", "s521\n") // what a scanner types
	b.See("#movements table")
	b.Click(".acts a[href='/wire/weigh?spool=S521']", "#f-gross_g")
	b.Type("#f-gross_g", "350\n") // the field has the focus: the scale types into it
	b.See("#f-second_g")
	b.Check("weigh-surprise")
	b.Type("#f-second_g", "350\n")
	b.See(".undo button")
	b.Check("weigh-scan")
	b.Type("#f-spool", "S521\n")
	b.See("#f-gross_g")
	b.Check("weigh")
	b.Go("/wire/spools/" + string(wound[0].Draws[0].Spool))
	b.Click(".doing details:nth-child(4) summary", ".doing details:nth-child(4) button")
	b.Check("spool")
	b.Go("/wire/wires/" + string(wound[0].Draws[0].Wire))
	b.Check("one-wire")
	b.Go("/wire/wires")
	b.Check("wires")
	b.Go("/wire/count")
	b.Check("count")
	b.Go("/wire/accuracy")
	b.Check("accuracy")
	b.Go("/wire/trace?order=" + string(wound[0].Serves[0].Order))
	b.Check("trace-order")
	b.Click(".flow a[href^='/wire/trace?lot=']", "a[href^='/wire/recall.xlsx']")
	b.Check("trace-lot")
	b.Click(".flow a[href^='/wire/trace?order=']", ".flow")
}

func TestWireWithoutJavaScript(t *testing.T) {
	shop, _ := woundShop(t)
	b := visit.Open(t, shop).BrowseAs(t, workshop.Winder)
	b.WithoutJavaScript()
	b.Go("/wire")
	b.Type("#f-code", "S401\n")
	b.Click(".acts a[href='/wire/weigh?spool=S401']", "#f-gross_g")
	b.Type("#f-gross_g", "280.0\n")
	b.See(".undo button")
	b.Go("/wire/labels?start=4&spool=S401+S402+S403+S404+S405+S406+S407+S408+S409")
	b.PDF("labels", "A4")
	b.PDF("labels", "Letter")
}
