package buying_test

import (
	"net/url"
	"strings"
	"testing"

	"windingroom/internal/purchase"
	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/units"
	"windingroom/internal/web"
	"windingroom/internal/workshop"
)

// own makes a purchase of two wires by hand.
func own(t *testing.T, shop *workshop.Shop) workshop.PurchaseStory {
	t.Helper()
	story, err := shop.AddPurchase(testkit.As(t.Context(), workshop.Lead), workshop.PurchaseForm{Supplier: "ashdell",
		Lines: []workshop.PurchaseFormLine{{Wire: "MW-R-9.5", Packs: 2}, {Wire: "MW-R-10.5", Packs: 1}}})
	if err != nil {
		t.Fatal(err)
	}
	return story
}

// opened is the form of own as the page shows it, with changes as name, value.
func opened(changes ...string) url.Values {
	f := url.Values{}
	for name, v := range map[string]string{"wire-0": "MW-R-10.5", "packs-0": "1", "price_per_kg-0": "56.50", "wire-1": "MW-R-9.5", "packs-1": "2", "price_per_kg-1": "64.50",
		"wire-2": "", "packs-2": "", "price_per_kg-2": "", "promised_on": "", "freight": "0.00", "note": ""} {
		f.Set(name, v)
		if !strings.HasSuffix(name, "-2") {
			f.Set("was_"+name, v)
		}
	}
	f.Set("version", "1")
	for i := 0; i < len(changes); i += 2 {
		f.Set(changes[i], changes[i+1])
	}
	return f
}

func TestTheFormOfAChangeHoldsWhatStands(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	own(t, shop)
	var has []string
	for name, values := range opened() {
		if name != "note" {
			has = append(has, `name="`+name+`"`)
		}
		if values[0] != "" && strings.HasPrefix(name, "was_") {
			has = append(has, `name="`+name+`" value="`+values[0]+`"`)
		}
	}
	visit.Open(t, shop).As(t, workshop.Lead).Get("/buying/purchases/p260302-1/change").Wants(t, 200, has, []string{"notice wrong"})
}

func TestChangeAPurchase(t *testing.T) {
	const path = "/buying/purchases/P260302-1"
	for _, tt := range []struct {
		name   string
		form   url.Values
		status int
		has    []string // of the page that follows
		lines  string   // that stand then
	}{
		{"packs and a new wire", opened("packs-1", "4", "wire-2", "mw-r-13.5", "packs-2", "1"), 303, []string{"The change is kept"}, "MW-R-10.5 1, MW-R-13.5 1, MW-R-9.5 4"},
		{"a wire taken out", opened("packs-0", ""), 303, []string{"The change is kept"}, "MW-R-9.5 2"},
		{"all taken out", opened("packs-0", "", "packs-1", "0"), 422, []string{"At least one wire is needed"}, "MW-R-10.5 1, MW-R-9.5 2"},
		{"no number", opened("packs-1", "two"), 422, []string{"Packs: &#34;two&#34; is not a number of packs", `value="two"`}, "MW-R-10.5 1, MW-R-9.5 2"},
		{"no such wire, beside its row", opened("packs-0", "", "wire-1", "XX"), 422, []string{`href="#f-wire-1"`, "unknown to the shop", `value="XX"`}, "MW-R-10.5 1, MW-R-9.5 2"},
		{"packs without a wire", opened("packs-2", "3"), 422, []string{`href="#f-wire-2"`}, "MW-R-10.5 1, MW-R-9.5 2"},
		{"no day", opened("promised_on", "soon"), 422, []string{`href="#f-promised_on"`}, "MW-R-10.5 1, MW-R-9.5 2"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			shop := testkit.ScenarioShop(t)
			own(t, shop)
			v := visit.Open(t, shop).As(t, workshop.Lead)
			p := v.Post(path+"/change", tt.form)
			if p.Status != tt.status {
				t.Fatalf("answered %d, want %d", p.Status, tt.status)
			}
			if p.Status == 303 {
				p = v.Get(p.To())
			}
			p.Wants(t, p.Status, tt.has, nil)
			if got := lines(t, shop); got != tt.lines {
				t.Errorf("holds %s, want %s", got, tt.lines)
			}
		})
	}
}

func lines(t *testing.T, shop *workshop.Shop) string {
	t.Helper()
	story, err := shop.Purchase(testkit.As(t.Context(), workshop.Lead), "P260302-1")
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, l := range story.Lines {
		all = append(all, string(l.Wire)+" "+string(rune('0'+l.Packs)))
	}
	return strings.Join(all, ", ")
}

func TestTwoChangeOnePurchase(t *testing.T) {
	const path = "/buying/purchases/P260302-1"
	shop := testkit.ScenarioShop(t)
	own(t, shop)
	site := visit.Open(t, shop)
	first, second := site.As(t, workshop.Owner), site.As(t, workshop.Lead)
	first.Post(path+"/change", opened("packs-0", "3", "note", "for <spring>"))
	second.Post(path+"/send", url.Values{"version": {"1"}})
	second.Get(path).Wants(t, 200, []string{"Not noted as sent: test owner did", "is to be looked at and sent"}, nil)

	p := second.Post(path+"/change", opened("packs-1", "5", "freight", "9.00"))
	p.Wants(t, 409, []string{"test owner did", "MW-R-10.5: packs was 1 and is now 3", "note was empty and is now for &lt;spring&gt;", `name="packs-0" type="text" value="3"`, `name="packs-1" type="text" value="5"`,
		`name="freight" type="text" value="9.00"`, `name="version" value="2"`, `name="was_packs-0" value="3"`, "for &lt;spring&gt;</textarea>"}, []string{"freight was", "<spring>"})
	again := opened("packs-0", "3", "was_packs-0", "3", "packs-1", "5", "freight", "9.00", "note", "for <spring>", "was_note", "for <spring>", "version", "2")
	if p := second.Post(path+"/change", again); p.Status != 303 {
		t.Fatalf("answered %d: %s", p.Status, p.Text())
	}
	if got := lines(t, shop); got != "MW-R-10.5 3, MW-R-9.5 5" {
		t.Errorf("holds %s", got)
	}

	first.Post(path+"/send", url.Values{"version": {"3"}, "confirm": {"yes"}, "reason": {"agreed"}})
	late := opened("packs-1", "7", "version", "3")
	second.Post(path+"/change", late).Wants(t, 409, []string{"send purchase", "its lines stand now", "MW-R-9.5: 7 packs"}, []string{`name="packs-1"`})
	if p := first.Post(path+"/change", url.Values{"version": {"4"}, "promised_on": {"2026-03-20"}, "freight": {""}, "note": {""}}); p.Status != 303 {
		t.Fatalf("a promise is answered %d", p.Status)
	}
	first.Get(path).Wants(t, 200, []string{"comes on Fri 20 Mar 2026"}, nil)
}

func TestReceiveForAPurchase(t *testing.T) {
	const path = "/buying/purchases/P260302-1"
	shop := testkit.ScenarioShop(t)
	own(t, shop)
	site := visit.Open(t, shop)
	lead, clerk := site.As(t, workshop.Lead), site.As(t, workshop.Bookkeeper)
	lead.Get(path).Wants(t, 200, []string{"takes orders of 150.00", "89.50", "Send it all the same"}, nil)
	lead.Post(path+"/send", url.Values{"version": {"1"}, "promised_on": {"2026-03-20"}})
	lead.Get(path).Wants(t, 200, []string{"notice wrong", "is to be looked at and sent"}, nil)
	lead.Post(path+"/send", url.Values{"version": {"1"}, "promised_on": {"2026-03-20"}, "confirm": {"yes"}, "reason": {"agreed by <telephone>"}})
	lead.Get(path).Wants(t, 200, []string{"agreed by &lt;telephone&gt;"}, nil)
	lead.Get(path).Wants(t, 200, []string{"comes on Fri 20 Mar 2026", "Receive wire for it", "Cancel it"}, []string{"It is sent"})
	clerk.Get(path).Wants(t, 200, []string{"Receive wire for it"}, []string{"Cancel it", "Change it"})
	clerk.Get(path+"/receive").Wants(t, 200, []string{`name="spool-2"`, `name="spool-0" type="text" value="S521"`, `name="spool-2" type="text" value="S523"`, `value="MW-R-10.5"`, "At the ordered prices"}, []string{`name="spool-3"`})
	form := url.Values{"received_on": {"2026-03-02"}, "lot": {"AS-9"}, "tare_g": {"200"}, "spool_type": {""}, "location": {"rack A1"}, "delivery": {""}, "cost": {""}, "freight": {"4.00"},
		"spool-0": {"S900"}, "wire-0": {"MW-R-9.5"}, "gross_g-0": {"450"}, "tare_g-0": {""}, "lot-0": {""}, "cost-0": {"16.50"},
		"spool-1": {""}, "wire-1": {"MW-R-9.5"}, "gross_g-1": {""}, "tare_g-1": {""}, "lot-1": {""}, "cost-1": {""},
		"spool-2": {"S901"}, "wire-2": {"MW-R-9.5"}, "gross_g-2": {"heavy"}, "tare_g-2": {""}, "lot-2": {"AS-10"}, "cost-2": {"16.00"}}
	clerk.Post(path+"/receive", form).Wants(t, 422, []string{`href="#f-gross_g-2"`, `value="heavy"`, `value="S900"`}, nil)
	form.Set("gross_g-2", "0.44 kg")
	form.Set("spool-2", "S9 01")
	clerk.Post(path+"/receive", form).Wants(t, 422, []string{`href="#f-spool-2"`, `value="S9 01"`}, nil)
	form.Set("spool-2", "S901")
	clerk.Post(path+"/receive", url.Values{"spool-0": {""}, "gross_g-0": {""}, "received_on": {"2026-03-02"}}).Wants(t, 422, []string{"No spool is named"}, nil)
	if p := clerk.Post(path+"/receive", form); p.Status != 303 || p.To() != path {
		t.Fatalf("answered %d: %s", p.Status, p.Text())
	}
	clerk.Get(path).Wants(t, 200, []string{"Received: 2 spools", "S900", "S901", "part received", "Labels of its spools", "&#43;0.89 EUR beyond the ordered prices", "2 spools, price difference 0.89 EUR", `href="/wire/spools/S900"`}, nil)
	for file, wants := range map[string]string{"/order.xlsx": "P260302-1.xlsx", "/labels.xlsx": "labels-S900.xlsx"} {
		if p := clerk.Get(path + file); p.Status != 200 || !strings.HasPrefix(p.Body, "PK") || !strings.Contains(p.Header.Get("Content-Disposition"), wants) {
			t.Errorf("%s: %d %s", file, p.Status, p.Header.Get("Content-Disposition"))
		}
	}
	clerk.Post(path+"/receive", form)
	clerk.Get(path).Wants(t, 200, []string{"nothing was changed"}, nil)
	lead.Post(path+"/cancel", url.Values{})
	lead.Get(path).Wants(t, 200, []string{"notice wrong", "close it if no more will come"}, nil)
	clerk.Post(path+"/close", url.Values{"reason": {"x"}})
	clerk.Get(path).Wants(t, 200, []string{"notice wrong", "lead or owner"}, nil)
	lead.Post(path+"/close", url.Values{"reason": {"the rest is out of stock there"}})
	lead.Get(path).Wants(t, 200, []string{"Closed: no more", "is closed", "the rest is out of stock there"}, []string{"Close it"})
	story, err := shop.Purchase(testkit.As(t.Context(), workshop.Lead), "P260302-1")
	if err != nil || story.Status != purchase.Closed {
		t.Errorf("is %s, %v", story.Status, err)
	}
}

func TestAPurchaseOfOnesOwn(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	v := visit.Open(t, shop).As(t, workshop.Lead)
	v.Get("/buying/purchases/new?supplier=corvane&wire=NPS-R-16.0").Wants(t, 200, []string{`value="corvane" selected`, `name="wire-0" type="text" value="NPS-R-16.0"`}, nil)
	for _, tt := range []struct {
		name   string
		form   url.Values
		status int
		has    string
	}{
		{"nothing asked and nothing named", url.Values{"supplier": {"corvane"}, "wire-0": {""}, "packs-0": {""}, "price_per_kg-0": {""}}, 422, "at least one wire"},
		{"no packs", url.Values{"supplier": {"corvane"}, "wire-0": {"NPS-R-16.0"}, "packs-0": {""}, "price_per_kg-0": {""}}, 422, "how many packs"},
		{"pressed once", url.Values{"key": {"k1"}, "supplier": {"corvane"}, "wire-0": {"NPS-R-16.0"}, "packs-0": {"1"}, "price_per_kg-0": {""}}, 303, "P260302-1 is proposed"},
		{"pressed twice", url.Values{"key": {"k1"}, "supplier": {"corvane"}, "wire-0": {"NPS-R-16.0"}, "packs-0": {"1"}, "price_per_kg-0": {""}}, 303, "P260302-1 is proposed"},
		{"sound", url.Values{"supplier": {"corvane"}, "wire-0": {"NPS-R-16.0"}, "packs-0": {"2"}, "price_per_kg-0": {""}, "note": {"by <hand>"}}, 303, "by &lt;hand&gt;"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := v.Post("/buying/purchases/new", tt.form)
			if p.Status != tt.status {
				t.Fatalf("answered %d", p.Status)
			}
			if p.Status == 303 {
				p = v.Get(p.To())
			}
			p.Wants(t, p.Status, []string{tt.has}, nil)
		})
	}
}

func TestAWiresTerms(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	runNight(t, shop)
	site := visit.Open(t, shop, web.Options{Units: units.Units{Pounds: true}})
	v := site.As(t, workshop.Lead)
	const path = "/buying/wires/MW-R-9.5"
	v.Get(path).Wants(t, 200, []string{"Projected balance", "Numbers of this drawing", "Used by week", "Order point", "No price breaks are known", "List price per kg", "±"}, nil)
	v.Post(path+"/terms", url.Values{"minimum_g": {"some"}, "from_kg-0": {"1"}, "price_per_kg-0": {"60"}, "from_kg-1": {""}, "price_per_kg-1": {""}}).Wants(t, 422, []string{`href="#f-minimum_g"`, `value="some"`, `value="60"`}, nil)
	v.Post(path+"/terms", url.Values{"minimum_g": {""}, "from_kg-0": {""}, "price_per_kg-0": {""}, "from_kg-1": {"2 kg"}, "price_per_kg-1": {"dear"}}).Wants(t, 422, []string{`href="#f-price_per_kg-1"`}, nil)
	if p := v.Post(path+"/terms", url.Values{"minimum_g": {"8"}, "from_kg-0": {"2 kg"}, "price_per_kg-0": {"60"}}); p.Status != 303 {
		t.Fatalf("answered %d", p.Status)
	}
	v.Get(path).Wants(t, 200, []string{"4.41 lb", "60.00 EUR", "8.00 oz"}, nil)
	site.As(t, workshop.Bookkeeper).Get(path).Wants(t, 200, []string{"4.41"}, []string{"Keep the terms"})
	v.Get("/buying/wires/none").Wants(t, 404, nil, nil)
	v.Get("/buying/suppliers").Wants(t, 200, []string{"Osterby Strip and Ribbon, Ltd takes longest: 42 days", "No delivery of a purchase yet", "28 days", "Order minimum"}, nil)
}
