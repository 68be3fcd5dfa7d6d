package orders_test

import (
	"bytes"
	"mime/multipart"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
	"windingroom/testdata/scenario"
)

func TestListOpensOnTheRisk(t *testing.T) {
	v := visit.Open(t, testkit.ScenarioShop(t)).As(t, workshop.Winder)
	v.Get("/orders").Wants(t, 200, []string{"open orders are at risk: O-26-", "O-26-101", "Workshop at Low Ferry", "wire short", `<option value="2026-03-02">Mon 2 Mar 2026`}, []string{"Import", `href="/new-order">New order`})
	v.Get("/orders?customer=nobody").Wants(t, 200, []string{"Nothing fits this filter"}, []string{"O-26-101"})
	v.Get("/orders?due=2026-03-02&state=confirmed").Wants(t, 200, []string{"O-26-101"}, []string{"O-26-140"})
	v.Get("/orders?show=draft").Wants(t, 200, []string{"No drafts", "at risk"}, []string{"O-26-101</a>"})
	v.Get("/orders?show=all&sort=customer&dir=desc").Wants(t, 200, []string{`aria-sort="descending"`, "O-26-101"}, nil)
}

func TestListOfNothing(t *testing.T) {
	v := visit.Open(t, testkit.Shop(t)).As(t, workshop.Lead)
	v.Get("/orders").Wants(t, 200, []string{"No order is open", "Take one in"}, nil)
	v.Get("/new-order").Wants(t, 200, []string{"Choose a set, or type a recipe"}, nil)
}

// written is a form of one line.
func written(set string, more ...string) url.Values {
	v := url.Values{"order": {"K-1"}, "customer": {"Ada & Bo"}, "ordered_on": {"2026-03-02"}, "due_on": {"2026-03-20"}, "l0-line": {"1"}, "l0-set": {set}, "l0-quantity": {"2"}}
	for i := 0; i+1 < len(more); i += 2 {
		v.Set(more[i], more[i+1])
	}
	return v
}

func TestEntryWorksOut(t *testing.T) {
	v := visit.Open(t, testkit.ScenarioShop(t)).As(t, workshop.Lead)
	v.Get("/new-order").Wants(t, 200, []string{`hx-target="#takes"`, `value="2026-03-02"`, "harbour-6, 6 strings", `<option value="P-10.5">10.5`}, nil)
	v.Get("/new-order?l0-line=1&l0-quantity=3&l0-set=harbour-6").Wants(t, 200, []string{"18 strings", `value="harbour-6" selected`}, nil)
	v.Get("/new-order?l0-line=1&l0-quantity=1&l0-set=&l0-s0-position=1&l0-s0-recipe=P-10.5&l0-s0-scale=25.5&l0-s0-pitch=E4").Wants(t, 200, []string{"1 string", `value="E4"`}, nil)
	form := written("harbour-6")
	htmx := map[string]string{"HX-Request": "true", "HX-Target": "takes"}
	v.Do("POST", "/new-order", form, htmx).Wants(t, 200, []string{`id="takes"`, "12 strings", "The set pulls", "of the breaking load", "suggested price", "Free by Fri 20 Mar"}, []string{"<html", "Customer"})
	form.Set("do", "work")
	v.Post("/new-order", form).Wants(t, 200, []string{"<html", "12 strings", "Ada &amp; Bo"}, []string{`id="faults"`})

	part := written("", "order", "", "customer", "", "l0-s0-position", "1", "l0-s0-recipe", "P-10.5", "l0-s0-scale", "25.5", "l0-s0-pitch", "E4",
		"l0-s1-position", "2", "l0-s1-recipe", "P-13.5", "l0-s1-scale", "", "l0-s1-pitch", "B3", "l0-s2-position", "3", "l0-s2-recipe", "nowhere", "l0-s2-scale", "", "l0-s2-pitch", "")
	v.Do("POST", "/new-order", part, htmx).Wants(t, 200, []string{"4 strings", "Not counted yet", "nowhere"}, []string{"is needed"})
	part.Set("do", "work")
	v.Post("/new-order", part).Wants(t, 200, []string{`value="nowhere" aria-label="Recipe, line 1 row 3" autocomplete="off" list="recipes" aria-invalid="true"`, "4 strings"}, []string{`id="f-order-wrong"`})
	part.Set("do", "confirm")
	v.Post("/new-order", part).Wants(t, 422, []string{`id="f-order-wrong"`, `id="f-customer-wrong"`, `id="f-l0-s2-recipe-wrong"`, `id="f-l0-s2-pitch-wrong"`, `value="nowhere"`, "Nothing was kept yet"}, nil)
	part.Set("l0-s0-scale", "wide")
	v.Post("/new-order", part).Wants(t, 422, []string{`id="f-l0-s0-scale-wrong"`, `value="wide"`}, nil)
}

func TestEntryChangesItsRows(t *testing.T) {
	v := visit.Open(t, testkit.ScenarioShop(t)).As(t, workshop.Lead)
	post := func(form url.Values, do string) visit.Page { form.Set("do", do); return v.Post("/new-order", form) }
	post(written("harbour-6"), "line").Wants(t, 200, []string{"Line 2", `name="l1-s5-position"`, "Drop this line"}, nil)
	post(written("harbour-6"), "spell 0").Wants(t, 200, []string{`name="l0-s0-recipe" value="P-10.5"`, `name="l0-s0-pitch" value="E4"`}, nil)
	post(written(""), "string 0").Wants(t, 200, []string{`name="l0-s0-position" value="1"`}, nil)
	rows := written("", "l0-s0-position", "1", "l0-s0-recipe", "A", "l0-s1-position", "2", "l0-s1-recipe", "B")
	post(rows, "drop 0.0").Wants(t, 200, []string{`name="l0-s0-recipe" value="B"`}, []string{`value="A"`})
	for _, odd := range []string{"drop 9", "drop x.y", "string -1", "spell 7", "drop 0.99", "drop 0", "what"} {
		post(written("harbour-6"), odd).Wants(t, 200, []string{"12 strings"}, nil)
	}
}

// scarceShop is a small shop with little wire.
func scarceShop(t *testing.T) *workshop.Shop {
	t.Helper()
	shop := testkit.Shop(t)
	if _, err := shop.Import(testkit.As(t.Context(), workshop.Owner), testkit.ScarceShop, false); err != nil {
		t.Fatal(err)
	}
	return shop
}

// custom is a form of one custom set of the scarce shop.
func custom(more ...string) url.Values {
	return written("", append([]string{"l0-s0-position", "1", "l0-s0-recipe", "P-10", "l0-s0-scale", "25", "l0-s0-pitch", "E4", "l0-s1-position", "2", "l0-s1-recipe", "W-42.5", "l0-s1-scale", "", "l0-s1-pitch", "E2"}, more...)...)
}

func TestAnOrdersLife(t *testing.T) {
	site := visit.Open(t, scarceShop(t))
	v := site.As(t, workshop.Lead)
	form := custom("do", "draft")
	if p := v.Post("/new-order", form); p.Status != http.StatusSeeOther || p.To() != "/orders/K-1" {
		t.Fatalf("kept: %d to %q: %.2000s", p.Status, p.To(), p.Body)
	}
	v.Get("/orders/K-1").Wants(t, 200, []string{"K-1 is kept as a draft", "A draft, due Fri 20 Mar 2026: 4 strings", "takes no wire until it is confirmed", "add order", "test lead", "Confirm", "Cancel the order"}, []string{"Held for it", ">Pack"})
	again := custom("do", "draft", "customer", "another")
	v.Post("/new-order", again).Wants(t, 422, []string{"is another order&#39;s code already", `value="another"`}, nil)

	v.Get("/orders/K-1/change").Wants(t, 200, []string{"Change K-1", `value="Ada &amp; Bo"`, `name="l0-s1-recipe" value="W-42.5"`, "4 strings"}, []string{`name="order"`})
	form = custom("do", "change", "l0-quantity", "3")
	if p := v.Post("/orders/K-1/change", form); p.To() != "/orders/K-1" {
		t.Fatalf("changed: %d %.2000s", p.Status, p.Body)
	}
	v.Get("/orders/K-1").Wants(t, 200, []string{"K-1 is changed", "6 strings"}, nil)
	v.Post("/orders/K-1/confirm", nil)
	v.Get("/orders/K-1").Wants(t, 200, []string{"K-1 is confirmed, and its wire is held for it. It is promised for", "Promised for", "promise order", "Held for it", "0 of 6 strings wound, due Fri 20 Mar", "confirm order"}, []string{">Confirm<", "Pack it short"})
	v.Post("/orders/K-1/ship", nil)
	v.Get("/orders/K-1").Wants(t, 200, []string{"notice wrong", "none of its 6 strings is wound"}, nil)

	v.Post("/orders/K-1/notes", url.Values{"note": {" "}}).Wants(t, 422, []string{`id="f-note-wrong"`}, nil)
	for range 2 {
		v.Post("/orders/K-1/notes", url.Values{"note": {"the <b> string by post"}})
	}
	if n := strings.Count(v.Get("/orders/K-1").Body, "the &lt;b&gt; string by post"); n != 1 {
		t.Errorf("the note stands %d times", n)
	}

	v.Get("/orders/K-1/day").Wants(t, 200, []string{"It can be wound by ", "in time for Fri 20 Mar", "Sure to", "Nothing stands in the way"}, []string{">Promise "})
	v.Get("/orders/K-1/day?ways=yes").Wants(t, 200, []string{"It can be wound by "}, []string{"What would make it earlier?"})
	v.Post("/orders/K-1/day", nil)
	v.Get("/orders/K-1").Wants(t, 200, []string{"K-1 is promised for Fri 20 Mar 2026"}, nil)
	v.Post("/new-order", custom("order", "K-2", "do", "day", "l0-quantity", "90")).Wants(t, 200, []string{`id="day">No day can be promised as things are. Wire decides: `}, []string{`id="faults"`})
	v.Post("/new-order", custom("order", "K-2", "do", "day", "customer", "")).Wants(t, 200, []string{`id="f-customer-wrong"`, `id="faults"`}, []string{`id="day"`})

	w := site.As(t, workshop.Winder)
	w.Get("/orders/K-1").Wants(t, 200, []string{"A lead or an owner confirms", "The set pulls"}, []string{"suggested price", "Cancel the order", "/change"})
	w.Post("/orders/K-1/cancel", nil)
	w.Get("/orders/K-1").Wants(t, 200, []string{"notice wrong", "needs the role lead or owner"}, nil)
	w.Get("/new-order").Wants(t, 200, []string{"What would it take?", "a lead or an owner takes orders in", `name="due_on"`}, []string{`name="customer"`, "Keep as a draft"})
	w.Do("POST", "/new-order", custom(), nil).Wants(t, 200, []string{"4 strings"}, []string{"suggested price"})
	w.Post("/new-order", custom("order", "K-2", "do", "confirm")).Wants(t, 403, []string{"lead or owner"}, nil)
	w.Post("/orders/K-1/change", custom("do", "change")).Wants(t, 403, []string{"lead or owner"}, nil)

	v.Post("/orders/K-1/cancel", url.Values{"reason": {"called off"}})
	v.Get("/orders/K-1").Wants(t, 200, []string{"K-1 is cancelled", "Cancelled, with 0 of 6", "called off"}, []string{"Cancel the order", "/change"})
	v.Post("/orders/K-1/confirm", nil)
	v.Get("/orders/K-1").Wants(t, 200, []string{"notice wrong", "cannot be confirmed"}, nil)
	v.Get("/orders/K-1/day").Wants(t, 409, []string{"takes no promise"}, nil)
	w.Post("/orders/K-1/day", nil)
	w.Get("/orders/K-1").Wants(t, 200, []string{"notice wrong", "lead or owner"}, nil)
	v.Get("/orders/none").Wants(t, 404, []string{"Not found"}, nil)
	v.Post("/orders/none/confirm", nil).Wants(t, 404, nil, nil)
	v.Post("/orders/none/notes", url.Values{"note": {"x"}}).Wants(t, 404, nil, nil)
}

// upload sends files as a browser does.
func upload(t *testing.T, v *visit.Visitor, do string, files map[string]string) visit.Page {
	t.Helper()
	var body bytes.Buffer
	m := multipart.NewWriter(&body)
	for name, text := range files {
		w, err := m.CreateFormFile("files", name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	_ = m.WriteField("do", do)
	_ = m.Close()
	return v.Send("/import", m.FormDataContentType(), &body)
}

func scenarioFile(t *testing.T, name string) string {
	t.Helper()
	text, err := scenario.Files.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
