package books_test

import (
	"archive/zip"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"windingroom/internal/costing"
	"windingroom/internal/intake"
	"windingroom/internal/purchase"
	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

// closed is a shop in April in which everything before March is closed.
func closed(t *testing.T) *workshop.Shop {
	t.Helper()
	shop := testkit.ScenarioShop(t)
	shut(t, shop)
	return shop
}

// march is closed with the scenario's day released and nothing wound of it.
func march(t *testing.T) (*workshop.Shop, workshop.DayPlan) {
	t.Helper()
	shop := testkit.ScenarioShop(t)
	lead := testkit.As(t.Context(), workshop.Lead)
	if _, err := shop.ProposeDay(lead, testkit.Day(t)); err != nil {
		t.Fatal(err)
	}
	day, err := shop.ReleaseDay(lead, testkit.Day(t))
	if err != nil {
		t.Fatal(err)
	}
	shut(t, shop)
	return shop, day
}

// shut closes every month before the scenario's and goes on to the next.
func shut(t *testing.T, shop *workshop.Shop) {
	t.Helper()
	keeper := testkit.As(t.Context(), workshop.Bookkeeper)
	months, err := shop.Months(keeper)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range slices.Backward(months) {
		if m.Month < costing.PeriodOf(testkit.Day(t)) {
			if _, err := shop.CloseMonth(keeper, m.Month); err != nil {
				t.Fatal(err)
			}
		}
	}
	now := testkit.Morning(t).AddDate(0, 1, 0)
	shop.Now = func() time.Time { return now }
}

// windAll posts a result of every batch.
func windAll(t *testing.T, shop *workshop.Shop, day workshop.DayPlan) {
	t.Helper()
	for _, m := range day.Plan.Machines {
		for _, b := range m.Batches {
			if _, err := shop.PostResult(testkit.As(t.Context(), workshop.Lead), workshop.ResultForm{Batch: b.Code, Good: b.ToWind, Minutes: b.Setup + b.Run, Person: "Ada"}); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// received is a purchase of which wire came.
func received(t *testing.T, shop *workshop.Shop) purchase.Code {
	t.Helper()
	lead := testkit.As(t.Context(), workshop.Lead)
	made, err := shop.AddPurchase(lead, workshop.PurchaseForm{Supplier: "ashdell", Lines: []workshop.PurchaseFormLine{{Wire: "MW-R-9.5", Packs: 1}}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := shop.SendPurchase(lead, made.Code, workshop.Sending{Version: 1, Confirmed: true, Reason: "agreed"}); err != nil {
		t.Fatal(err)
	}
	spool := intake.SpoolText{Spool: "S900", Wire: "MW-R-9.5", Lot: "AS-9", Gross: "450", Tare: "200", Cost: "16.50"}
	if _, err := shop.ReceivePurchase(lead, made.Code, intake.SeveralSpools([]intake.SpoolText{spool}), intake.Invoice{}, "", true); err != nil {
		t.Fatal(err)
	}
	return made.Code
}

func TestAMonthIsClosed(t *testing.T) {
	shop, day := march(t)
	site := visit.Open(t, shop)
	v := site.As(t, workshop.Bookkeeper)
	first := string(day.Plan.Machines[0].Batches[0].Code)
	v.Get("/books").Wants(t, 200, []string{"March 2026 cannot close yet", "without a result", first, "closed", "by test bookkeeper", "Workbook of 2026"}, []string{"Close March 2026"})
	v.Post("/books/months/2026-03/close", nil)
	v.Get("/books").Wants(t, 200, []string{"notice wrong", "post what was wound, or take them back"}, nil)
	windAll(t, shop, day)
	v.Get("/books").Wants(t, 200, []string{"March 2026 is ready to close: all", "checks 0", "Close March 2026", "The figures of March 2026 are frozen"}, []string{"cannot close"})
	if p := v.Post("/books/months/2026-03/close", nil); p.Status != 303 || p.To() != "/books/months/2026-03/history" {
		t.Fatalf("closed: %d to %s", p.Status, p.To())
	}
	v.Get("/books/months/2026-03/history").Wants(t, 200, []string{"March 2026 is closed. Its figures have the hash", "By test bookkeeper on"}, []string{"Open it again"})
	v.Get("/books").Wants(t, 200, []string{"Everything is closed up to March 2026"}, []string{"Close April"})
	v.Post("/books/months/2026-03/close", nil)
	v.Get("/books").Wants(t, 200, []string{"was closed by test bookkeeper"}, nil)
}

func TestAMonthIsOpenedAgain(t *testing.T) {
	shop := closed(t)
	site := visit.Open(t, shop)
	keeper, owner := site.As(t, workshop.Bookkeeper), site.As(t, workshop.Owner)
	keeper.Post("/books/months/2026-02/reopen", url.Values{"reason": {"x"}}).Wants(t, 403, []string{"needs the role owner"}, nil)
	owner.Get("/books/months/2026-01/history").Wants(t, 200, []string{"January 2026 is closed"}, []string{"Open it again"})
	owner.Get("/books/months/2026-02/history").Wants(t, 200, []string{"Open it again"}, nil)
	owner.Post("/books/months/2026-02/reopen", url.Values{"reason": {" "}}).Wants(t, 422, []string{`id="f-reason-wrong"`, "Nothing was kept yet"}, nil)
	owner.Post("/books/months/2026-02/reopen", url.Values{"reason": {"an <invoice> came late"}})
	owner.Get("/books/months/2026-02/history").Wants(t, 200, []string{"February 2026 is open again", "opened again", "an &lt;invoice&gt; came late", "test owner"}, nil)
	owner.Get("/books").Wants(t, 200, []string{"February 2026 is ready to close", "1 time", "1 time"}, nil)
	owner.Get("/books?state=closed").Wants(t, 200, []string{"January 2026"}, []string{">February 2026</a>"})
}

// TestFromATotalToThePerson follows a number: the total, the wires behind it, the movements of one, their batch and who wound.
func TestFromATotalToThePerson(t *testing.T) {
	shop, day := march(t)
	windAll(t, shop, day)
	site := visit.Open(t, shop)
	v := site.As(t, workshop.Bookkeeper)
	b := day.Plan.Machines[0].Batches[0]
	wire, spool := string(b.Draws[0].Wire), string(b.Draws[0].Spool)
	to := func(wire, column string) string {
		q := url.Values{"column": {column}}
		if wire != "" {
			q.Set("wire", wire)
		}
		return "/books/months/2026-03/explain?" + q.Encode()
	}
	href := func(path string) string { return `href="` + strings.ReplaceAll(path, "&", "&amp;") + `"` }
	v.Get("/books/months/2026-03").Wants(t, 200, []string{"March 2026 ties out: all", "All wires", href(to("", "drawn")), href(to(wire, "drawn"))}, nil)
	v.Get(to("", "drawn")).Wants(t, 200, []string{"All wires:", "drawn in March 2026", href(to(wire, "drawn"))}, nil)
	v.Get(to(wire, "drawn")).Wants(t, 200, []string{wire + ":", "batch " + string(b.Code), "wound by Ada", "posted by test lead", `href="/wire/spools/` + spool + `"`, "EUR"}, nil)
	v.Get(to(wire, "opening")).Wants(t, 200, []string{"closing of February 2026", "receipt"}, nil)
	v.Get(to(wire, "worth")).Wants(t, 422, []string{"is not one of opening"}, nil)
	v.Get(to("", "worth")).Wants(t, 422, []string{"is not one of opening"}, nil)
	v.Get(to("none", "drawn")).Wants(t, 422, []string{"no wire of the shop"}, nil)
	site.As(t, workshop.Winder).Get(to(wire, "drawn")).Wants(t, 200, []string{"batch " + string(b.Code)}, []string{"EUR</", "at&nbsp;", ", at "})
}

func TestAMonthsPages(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	received(t, shop)
	v := visit.Open(t, shop).As(t, workshop.Bookkeeper)
	v.Get("/books/months/2026-03/value").Wants(t, 200, []string{"Lot by lot", "First in, first out", "Moving average", "In the books"}, nil)
	v.Get("/books/months/2026-03/checks").Wants(t, 200, []string{"The closing is what the spools held at the end", "The journal&#39;s debits are its credits"}, []string{"tag wrong"})
	v.Get("/books/months/2026-03/checks?off=yes").Wants(t, 200, []string{"Nothing fits this filter"}, nil)
	money := v.Get("/books/months/2026-03?by=money&sort=closing&dir=desc&moved=yes")
	money.Wants(t, 200, []string{`aria-sort="descending"`, "In EUR, below it g", "Grams first", `name="by" value="money"`}, nil)
	v.Get("/books/months/2026-13").Wants(t, 422, []string{"is not a month"}, nil)
	v.Get("/books/months/2027-01").Wants(t, 422, []string{"the last month there can be books of"}, nil)
	v.Get("/books/months/2020-01").Wants(t, 200, []string{"No wire was on hand and none moved"}, nil)
}

func TestFilesOfTheBooks(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	v := visit.Open(t, shop).As(t, workshop.Bookkeeper)
	for path, name := range map[string]string{"months/2026-02/books.xlsx": "books-2026-02.xlsx", "years/2026/books.xlsx": "books-2026.xlsx", "years/2025/books.zip": "books-2025-csv.zip"} {
		p := v.Get("/books/" + path)
		if p.Status != 200 || p.Header.Get("Content-Disposition") != `attachment; filename="`+name+`"` || !strings.HasPrefix(p.Body, "PK") {
			t.Errorf("%s: %d, %s", path, p.Status, p.Header.Get("Content-Disposition"))
		}
	}
	p := v.Get("/books/months/2026-02/books.zip")
	files, err := zip.NewReader(strings.NewReader(p.Body), int64(len(p.Body)))
	if err != nil || len(files.File) < 14 || files.File[0].Name != "roll-forward.csv" || files.File[0].UncompressedSize64 == 0 {
		t.Errorf("%v, %v", files, err)
	}
	v.Get("/books/years/26/books.xlsx").Wants(t, 422, []string{"is not a year such as 2026"}, nil)
	v.Get("/books/years/2031/books.xlsx").Wants(t, 422, []string{"the last month there can be books of"}, nil)
}

func TestMethodsAreChosen(t *testing.T) {
	shop := closed(t)
	v := visit.Open(t, shop).As(t, workshop.Bookkeeper)
	v.Get("/books/methods").Wants(t, 200, []string{"The books value every alloy lot by lot", "Nothing was ever chosen"}, nil)
	form := url.Values{"family": {"music-wire"}, "method": {"fifo"}, "from": {"soon"}, "reason": {"the auditor"}}
	v.Post("/books/methods", form).Wants(t, 422, []string{`id="f-from-wrong"`, `value="soon"`, `value="the auditor"`}, nil)
	form.Set("from", "2026-02")
	v.Post("/books/methods", form).Wants(t, 422, []string{"choose a later month"}, nil)
	form.Set("from", "2026-03")
	v.Post("/books/methods", form)
	v.Get("/books/methods").Wants(t, 200, []string{"From March 2026 the books value music-wire first in, first out", "The books value alloys by different formulas", "the auditor", "test bookkeeper"}, nil)
	v.Get("/books/months/2026-03/value").Wants(t, 200, []string{">books</span>"}, nil)
}

func TestInvoicesDue(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	v := visit.Open(t, shop).As(t, workshop.Bookkeeper)
	v.Get("/books/invoices").Wants(t, 200, []string{"Every delivery is invoiced as it came", "Nothing is due"}, nil)
	code := string(received(t, shop))
	v.Get("/books/invoices").Wants(t, 200, []string{"1 purchase is not invoiced", code, "ashdell", `href="/buying/purchases/` + code + `"`, "16.50"}, nil)
	v.Get("/books/invoices?purchase="+code).Wants(t, 200, []string{`name="purchase" type="text" value="` + code + `"`}, nil)
	form := url.Values{"purchase": {code}, "number": {""}, "amount": {"16.50"}, "on": {"2026-03-02"}}
	v.Post("/books/invoices", form).Wants(t, 422, []string{`id="f-number-wrong"`, `value="16.50"`}, nil)
	form.Set("number", "R-77")
	form.Set("amount", "plenty")
	v.Post("/books/invoices", form).Wants(t, 422, []string{`id="f-amount-wrong"`, `value="plenty"`, `value="R-77"`}, nil)
	form.Set("amount", "16.50")
	v.Post("/books/invoices", form)
	v.Get("/books/invoices").Wants(t, 200, []string{"Invoice R-77 of " + code + " is noted", "Every delivery is invoiced as it came"}, nil)
	v.Post("/books/invoices", form).Wants(t, 422, []string{"Nothing was kept yet"}, nil)
	v.Post("/books/invoices", url.Values{"purchase": {""}, "number": {"1"}, "amount": {"1"}, "on": {""}}).Wants(t, 422, []string{`id="f-purchase-wrong"`, `id="f-on-wrong"`}, nil)
}

// TestTheBooksAreNotForAll: who does not keep them sees no link to them and is told which role it takes.
func TestTheBooksAreNotForAll(t *testing.T) {
	shop := closed(t)
	site := visit.Open(t, shop)
	site.As(t, workshop.Bookkeeper).Get("/wire").Wants(t, 200, []string{`href="/books"`}, nil)
	for _, role := range []workshop.Role{workshop.Lead, workshop.Winder} {
		v := site.As(t, role)
		v.Get("/wire").Wants(t, 200, nil, []string{`href="/books"`})
		for _, path := range []string{"", "/months/2026-02", "/months/2026-02/value", "/months/2026-02/checks", "/months/2026-02/history", "/months/2026-02/books.xlsx", "/months/2026-02/explain?column=closing", "/invoices"} {
			v.Get("/books"+path).Wants(t, 403, []string{"needs the role bookkeeper or owner"}, nil)
		}
		for _, path := range []string{"/months/2026-03/close", "/months/2026-02/reopen", "/methods", "/invoices"} {
			v.Post("/books"+path, url.Values{"reason": {"x"}, "from": {"2026-04"}, "method": {"fifo"}, "family": {""}, "purchase": {"P-1"}, "number": {"1"}, "amount": {"1"}, "on": {"2026-03-02"}}).Wants(t, 403, []string{"needs the role"}, nil)
		}
	}
}

func TestBooksOfAnEmptyShop(t *testing.T) {
	v := visit.Open(t, testkit.Shop(t)).As(t, workshop.Bookkeeper)
	v.Get("/books").Wants(t, 200, []string{"There are no books yet", "No month yet"}, []string{"Workbook"})
	v.Get("/books/methods").Wants(t, 200, []string{"The shop has no wire yet"}, nil)
	v.Get("/books/months/2026-03").Wants(t, 200, []string{"none moved"}, nil)
	v.Get("/books/months/2026-03/history").Wants(t, 200, []string{"March 2026 is open", "It was never closed"}, nil)
}

// TestEveryValueLeadsToWhatMakesIt: by each formula and by the books' methods, wire by wire and in total; late cost stands apart.
func TestEveryValueLeadsToWhatMakesIt(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	code := received(t, shop)
	lead := testkit.As(t.Context(), workshop.Lead)
	if _, err := shop.Weigh(lead, workshop.Weigh{Spool: "S900", Gross: 350_000, Confirmed: true}); err != nil {
		t.Fatal(err)
	}
	if _, err := shop.InvoicePurchase(testkit.As(t.Context(), workshop.Bookkeeper), workshop.NewInvoice{Purchase: code, Number: "R-1", Amount: "20.00", On: testkit.Day(t), Confirmed: true}); err != nil {
		t.Fatal(err)
	}
	site := visit.Open(t, shop)
	v := site.As(t, workshop.Bookkeeper)
	month := "/books/months/2026-03"
	at := func(query string) string { return month + "/explain?" + query }
	href := func(query string) string {
		return `href="` + strings.NewReplacer("&", "&amp;", "+", "&#43;").Replace(at(query)) + `"`
	}
	v.Get(month).Wants(t, 200, []string{"Of it late cost", "−1.40", href("column=late&wire=MW-R-9.5"), href("column=late")}, nil)
	v.Get("/books/months/2026-02").Wants(t, 200, nil, []string{"Of it late cost"})
	v.Get(at("column=late&wire=MW-R-9.5")).Wants(t, 200, []string{"MW-R-9.5: −1.40 EUR late cost of used wire in March 2026", "cost difference of used wire"}, nil)
	v.Get(month+"/value").Wants(t, 200, []string{href("column=closing&method=fifo&wire=MW-R-9.5"), href("column=closing&method=moving+average&wire=MW-R-9.5"), href("column=closing&method=fifo"), href("column=closing&method=books")}, nil)
	v.Get(at("column=closing&method=fifo")).Wants(t, 200, []string{"All wires:", "first in, first out", href("column=closing&method=fifo&wire=MW-R-9.5")}, nil)
	v.Get(at("column=closing&method=fifo&wire=MW-R-9.5")).Wants(t, 200, []string{"first in, first out", "Layers, the oldest first", "S900", "All layers", "of the layer of"}, nil)
	v.Get(at("column=closing&method=moving+average&wire=MW-R-9.5")).Wants(t, 200, []string{"at the moving average", "Then there", "a kg", "receipt"}, []string{"Layers"})
	v.Get(month+"/methods").Wants(t, 200, []string{"Revalued", "lot by lot", href("column=closing&method=books&wire=MW-R-9.5"), href("column=opening&method=books")}, nil)
	v.Get(at("column=opening&method=books&wire=MW-R-9.5")).Wants(t, 200, []string{"closing of February 2026", "lot by lot"}, nil)
	v.Get(at("column=late&method=books&wire=MW-R-9.5")).Wants(t, 200, []string{"−1.40"}, nil)
	v.Get(at("column=opening&method=fifo")).Wants(t, 422, []string{"is closing"}, nil)
	v.Get(at("column=closing&method=lifo")).Wants(t, 422, []string{"is not one of books"}, nil)
	v.Get(at("column=closing&method=lifo&wire=MW-R-9.5")).Wants(t, 422, []string{"is not one of specific"}, nil)
	v.Get(at("column=worth&method=books")).Wants(t, 422, []string{"is not one of opening"}, nil)
	site.As(t, workshop.Winder).Get(at("column=closing&method=fifo&wire=MW-R-9.5")).Wants(t, 403, []string{"needs the role"}, nil)
}
