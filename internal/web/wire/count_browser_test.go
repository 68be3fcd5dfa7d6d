package wire_test

import (
	"testing"

	"github.com/chromedp/chromedp"

	"windingroom/internal/measure"
	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

// TestCountByScannerAlone counts the whole list with what a scanner and a scale type, each ending in Enter: no mouse, no other key. One
// spool is a surprise and weighed a second time.
func TestCountByScannerAlone(t *testing.T) {
	shop, _ := woundShop(t)
	list, err := shop.ToWeigh(testkit.As(t.Context(), workshop.Lead), testkit.Day(t))
	if err != nil || len(list.Rows) < 2 {
		t.Fatalf("%d to weigh, %v", len(list.Rows), err)
	}
	fullest := 0 // half of its wire gone is a surprise
	for i, row := range list.Rows {
		if row.Balance.Mass > list.Rows[fullest].Balance.Mass {
			fullest = i
		}
	}
	b := visit.Open(t, shop).BrowseAs(t, workshop.Winder)
	b.Excuse("422")
	b.Go("/wire/count")
	for i, row := range list.Rows {
		b.See("#f-spool:focus")
		b.Do("scan", chromedp.KeyEvent(string(row.Spool)), chromedp.KeyEvent("\r"))
		b.See("#f-gross_g:focus")
		gross := (row.Balance.Mass + row.Balance.Tare).GramText()
		if i == fullest {
			gross = (row.Balance.Mass/2 + row.Balance.Tare - row.Balance.Mass/2%measure.Gram).GramText()
			b.Do("scan", chromedp.KeyEvent(gross), chromedp.KeyEvent("\r"))
			b.See("#f-second_g:focus")
		}
		b.Do("scan", chromedp.KeyEvent(gross), chromedp.KeyEvent("\r"))
		b.See(".notice .undo, .undo button")
	}
	b.See("#f-spool:focus")
	after, err := shop.ToWeigh(testkit.As(t.Context(), workshop.Lead), testkit.Day(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range list.Rows {
		for _, still := range after.Rows {
			if still.Spool == row.Spool {
				t.Errorf("spool %s was counted and is still on the list: %v", row.Spool, still.Reasons)
			}
		}
	}
}
