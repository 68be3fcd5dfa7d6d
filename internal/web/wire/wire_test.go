package wire_test

import (
	"net/url"
	"regexp"
	"strings"
	"testing"

	"windingroom/internal/batch"
	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/units"
	"windingroom/internal/web"
	"windingroom/internal/workshop"
)

// woundShop is the invented shop with the first batches of its day wound.
func woundShop(t *testing.T) (*workshop.Shop, []batch.Batch) {
	t.Helper()
	shop := testkit.ScenarioShop(t)
	ctx := testkit.As(t.Context(), workshop.Owner)
	day := testkit.Day(t)
	if _, err := shop.ProposeDay(ctx, day); err != nil {
		t.Fatal(err)
	}
	plan, err := shop.ReleaseDay(ctx, day)
	if err != nil {
		t.Fatal(err)
	}
	var wound []batch.Batch
	for _, m := range plan.Plan.Machines {
		for i, b := range m.Batches {
			if i >= 4 {
				break
			}
			if _, err := shop.PostResult(ctx, workshop.ResultForm{Batch: b.Code, Good: b.ToWind, Minutes: b.Run, Person: "Ines"}); err != nil {
				t.Fatal(err)
			}
			wound = append(wound, b)
		}
	}
	return shop, wound
}

func TestShelf(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	site := visit.Open(t, shop)
	v := site.As(t, workshop.Winder)
	v.Get("/wire").Wants(t, 200, []string{"to weigh today", "Spools by wire", "S401", "rack C2", `class="fill`, `href="/wire/spools/S401"`, "Free wire"}, []string{"Receive wire", `href="/wire/receive"`})
	v.Get("/wire?state=remnant").Wants(t, 200, []string{">remnant<"}, []string{">quarantine</span>"})
	v.Get("/wire?wire=MW-H-13.0&sort=free&dir=desc").Wants(t, 200, []string{"MW-H-13.0", "aria-sort=\"descending\""}, []string{"S401"})
	v.Get("/wire/wires").Wants(t, 200, []string{"MW-R-8.0", "Usable end"}, nil)
	v.Get("/wire/wires/mw-h-13.0").Wants(t, 200, []string{"MW-H-13.0:", "free on", "S403", "Open orders that need it"}, []string{"Value on hand", "List price"})
	site.As(t, workshop.Lead).Get("/wire/wires/MW-H-13.0").Wants(t, 200, []string{"Value on hand", "List price of 1 kg"}, nil)
	v.Get("/wire/wires/nothing").Wants(t, 404, []string{"nothing"}, nil)
	for code, to := range map[string]string{"s401": "/wire/spools/S401", "MW-H-13.0": "/wire/wires/MW-H-13.0", "CV2509-626": "/wire/trace?lot=CV2509-626", "o-26-101": "/wire/trace?order=O-26-101"} {
		if p := v.Get("/wire/find?code=" + code); p.Status != 303 || p.To() != to {
			t.Errorf("%s: %d to %q, want %q", code, p.Status, p.To(), to)
		}
	}
	v.Get("/wire/find?code=S-9")
	v.Get("/wire").Wants(t, 200, []string{`No spool, wire, lot, delivery or order is called &#34;S-9&#34;`}, nil)
	metric := visit.Open(t, shop, web.Options{Units: units.Units{Metric: true, Pounds: true}}).As(t, workshop.Winder)
	metric.Get("/wire").Wants(t, 200, []string{"On hand, oz", "mm"}, []string{"thou"})
}

func TestEmptyShelfSaysWhatToDo(t *testing.T) {
	v := visit.Open(t, testkit.Shop(t)).As(t, workshop.Owner)
	v.Get("/wire").Wants(t, 200, []string{"No wire on the shelf yet", "Receive a delivery", "windingroom import FOLDER"}, nil)
	v.Get("/wire/wires").Wants(t, 200, []string{"No wire yet"}, nil)
	v.Get("/wire/count").Wants(t, 200, []string{"Nothing to weigh today"}, nil)
	v.Get("/wire/accuracy").Wants(t, 200, []string{"No spool was weighed yet"}, nil)
	v.Get("/wire/labels").Wants(t, 200, []string{"Labels for which spools?"}, nil)
	v.Get("/wire/trace").Wants(t, 200, []string{"What went into what?"}, nil)
}

// undoBar reads the form that takes back what was just done.
func undoBar(t *testing.T, body string) (string, url.Values) {
	t.Helper()
	bar := regexp.MustCompile(`(?s)<form method="post" action="([^"]+)" class="undo">(.*?)</form>`).FindStringSubmatch(body)
	if bar == nil {
		t.Fatalf("no undo: %.2000s", body)
	}
	form := url.Values{}
	for _, in := range regexp.MustCompile(`name="([^"]+)" value="([^"]*)"`).FindAllStringSubmatch(bar[2], -1) {
		form.Set(in[1], in[2])
	}
	return bar[1], form
}

func TestSpoolActs(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	v := visit.Open(t, shop).As(t, workshop.Lead)
	v.Get("/wire/spools/s401").Wants(t, 200, []string{"S401: 164.3", "CV2509-626", "rack C2", "Quarantine", "Write off", "Take a movement back", "receipt", "import"}, []string{"Release from quarantine"})
	v.Get("/wire/spools/S-9").Wants(t, 404, []string{"S-9"}, nil)
	for _, tt := range []struct {
		act  string
		form url.Values
		say  string
		then string // after undo
	}{
		{"place", url.Values{"location": {"bench 1"}}, "S401 stands at bench 1.", "rack C2"},
		{"quarantine", url.Values{"reason": {"kinks"}}, "S401 is in quarantine.", "Quarantine</summary>"},
		{"write-off", url.Values{"mass_g": {"4.28"}, "reason": {"rust"}, "key": {"k1"}}, "4.3 g of S401 is written off", "S401: 164.3"},
		{"return", url.Values{"mass_g": {""}, "reason": {"wrong wire"}, "key": {"k2"}}, "164.3 g of S401 went back to the supplier", "S401: 164.3"},
	} {
		if p := v.Post("/wire/spools/S401/"+tt.act, tt.form); p.Status != 303 || p.To() != "/wire/spools/S401" {
			t.Fatalf("%s: %d to %q %.2000s", tt.act, p.Status, p.To(), p.Body)
		}
		p := v.Get("/wire/spools/S401")
		p.Wants(t, 200, []string{tt.say, ">Undo<"}, nil)
		v.Post(undoBar(t, p.Body))
		v.Get("/wire/spools/S401").Wants(t, 200, []string{tt.then, "test lead"}, nil)
	}
	v.Post("/wire/spools/S401/write-off", url.Values{"mass_g": {"lots"}, "reason": {"rust"}}).Wants(t, 422, []string{"Nothing was kept yet", `value="lots"`, `value="rust"`, "<details open><summary>Write off"}, nil)
	v.Post("/wire/spools/S401/write-off", url.Values{"mass_g": {"9999"}, "reason": {"rust"}}).Wants(t, 422, []string{"S401", `value="9999"`}, nil)
	v.Post("/wire/spools/S401/quarantine", url.Values{"reason": {""}}).Wants(t, 422, []string{"is needed: why, in a few words"}, nil)
	v.Post("/wire/spools/S401/take-back", url.Values{"movement": {"x"}, "reason": {"y"}}).Wants(t, 422, []string{"is not the number of a movement"}, nil)
}

func TestSpoolActsByRole(t *testing.T) {
	site := visit.Open(t, testkit.ScenarioShop(t))
	for role, offers := range map[workshop.Role][]string{workshop.Winder: {"place"}, workshop.Bookkeeper: {"place", "return", "write-off", "take-back"}, workshop.Owner: {"place", "quarantine", "return", "write-off", "take-back"}} {
		v := site.As(t, role)
		body := v.Get("/wire/spools/S402").Body
		for _, act := range []string{"place", "quarantine", "return", "write-off", "take-back"} {
			offered := strings.Contains(body, `action="/wire/spools/S402/`+act+`"`)
			want := strings.Contains(" "+strings.Join(offers, " ")+" ", " "+act+" ")
			if offered != want {
				t.Errorf("%s is offered %s: %v", role, act, offered)
			}
			if !want {
				v.Post("/wire/spools/S402/"+act, url.Values{"reason": {"x"}, "movement": {"1"}, "mass_g": {""}}).Wants(t, 403, []string{"needs the role lead", string(role)}, nil)
			}
		}
		if shown := strings.Contains(body, "Value on hand"); shown != (role != workshop.Winder) {
			t.Errorf("%s sees prices: %v", role, shown)
		}
	}
	site.As(t, workshop.Winder).Get("/wire/receive").Wants(t, 403, []string{"needs the role lead, bookkeeper or owner"}, nil)
}

func TestWeigh(t *testing.T) {
	shop, wound := woundShop(t)
	site := visit.Open(t, shop)
	v := site.As(t, workshop.Winder)
	code := string(wound[0].Draws[0].Spool)
	story, err := shop.SpoolStory(testkit.As(t.Context(), workshop.Winder), wound[0].Draws[0].Spool)
	if err != nil {
		t.Fatal(err)
	}
	v.Get("/wire/weigh?spool=S-9").Wants(t, 422, []string{"there is no spool S-9", `value="S-9"`}, nil)
	v.Get("/wire/weigh?spool="+strings.ToLower(code)).Wants(t, 200, []string{"What does " + code + " weigh?", `name="gross_g"`, "Weighed at"}, []string{"second_g"})
	v.Post("/wire/weigh", url.Values{"spool": {code}, "gross_g": {"heavy"}}).Wants(t, 422, []string{`value="heavy"`}, nil)
	v.Post("/wire/weigh", url.Values{"spool": {code}, "gross_g": {"1"}}).Wants(t, 422, []string{"less than its empty spool"}, nil)
	gross := story.Spool.Mass + story.Spool.Tare
	if p := v.Post("/wire/weigh", url.Values{"spool": {code}, "gross_g": {gross.GramText()}, "key": {"w1"}}); p.Status != 303 || p.To() != "/wire/weigh" {
		t.Fatalf("weighed: %d to %q %.3000s", p.Status, p.To(), p.Body)
	}
	p := v.Get("/wire/weigh")
	p.Wants(t, 200, []string{code + " holds ", "as the books say", ">Undo<"}, nil)
	v.Post(undoBar(t, p.Body))
	v.Get("/wire/spools/"+code).Wants(t, 200, []string{"Undone: " + code, "taken back by no.", "weigh-back", "taken back at once"}, nil)

	lost := gross - story.Spool.Mass/2
	form := url.Values{"spool": {code}, "gross_g": {lost.GramText()}, "second_g": {""}, "confirm": {""}, "key": {"w2"}}
	v.Post("/wire/weigh", form).Wants(t, 422, []string{"less than the books say", `name="second_g"`, "fetch a lead or an owner", `value="` + lost.GramText() + `"`}, []string{`name="confirm"`})
	lead := site.As(t, workshop.Lead)
	lead.Post("/wire/weigh", form).Wants(t, 422, []string{`name="second_g"`, `name="confirm"`}, nil)
	form.Set("confirm", "yes")
	if p := lead.Post("/wire/weigh", form); p.Status != 303 {
		t.Fatalf("confirmed: %d %.3000s", p.Status, p.Body)
	}
	lead.Get("/wire/weigh").Wants(t, 200, []string{"less than the books said, charged to "}, nil)
	lead.Get("/wire/spools/"+code).Wants(t, 200, []string{"where the books had", "much is gone, confirmed"}, nil)
	v.Post("/wire/weigh", url.Values{"spool": {"S401"}, "gross_g": {"280"}, "at": {"noon"}}).Wants(t, 422, []string{"is no moment such as"}, nil)

	keeper := site.As(t, workshop.Bookkeeper)
	keeper.Get("/wire/weigh?spool=S403").Wants(t, 200, []string{`name="for" value="count"`}, nil)
	if p := keeper.Post("/wire/weigh", url.Values{"spool": {"S403"}, "gross_g": {"310.4"}, "for": {"count"}}); p.Status != 303 || p.To() != "/wire/count" {
		t.Fatalf("counted: %d to %q %.3000s", p.Status, p.To(), p.Body)
	}
	keeper.Get("/wire/spools/S403").Wants(t, 200, []string{"S403 holds", ">count "}, nil)
	keeper.Get("/wire/accuracy").Wants(t, 200, []string{"The books were right for", "2026-03", `class="line-limit"`}, nil)
}

func TestCount(t *testing.T) {
	v := visit.Open(t, testkit.ScenarioShop(t)).As(t, workshop.Winder)
	v.Get("/wire/count").Wants(t, 200, []string{"to weigh today", "class ", "/wire/weigh?for=count"}, []string{"At risk"})
}

func TestTares(t *testing.T) {
	site := visit.Open(t, testkit.ScenarioShop(t))
	v := site.As(t, workshop.Winder)
	v.Get("/wire/tares").Wants(t, 200, []string{"No type yet", "Weigh an empty spool"}, nil)
	v.Post("/wire/tares", url.Values{"type": {"grey 2"}, "mass_g": {"210"}}).Wants(t, 422, []string{`href="#f-type"`, `value="210"`}, nil)
	v.Post("/wire/tares", url.Values{"type": {"grey-2"}, "mass_g": {"much"}}).Wants(t, 422, []string{`href="#f-mass_g"`}, nil)
	v.Post("/wire/tares", url.Values{"type": {"grey-2"}, "mass_g": {"210"}, "key": {"t1"}})
	v.Get("/wire/tares").Wants(t, 200, []string{"Spools of type grey-2 weigh 210.0", "1 type of spool"}, nil)
	keeper := site.As(t, workshop.Bookkeeper)
	keeper.Get("/wire/tares").Wants(t, 200, []string{"grey-2"}, []string{"<form method=\"post\" action=\"/wire/tares\""})
	keeper.Post("/wire/tares", url.Values{"type": {"grey-2"}, "mass_g": {"210"}}).Wants(t, 403, []string{"needs the role winder, lead or owner"}, nil)
	f := url.Values{"rows": {"1"}, "received_on": {""}, "cost": {"9"}, "freight": {""}, "delivery": {""}, "act": {"look"}}
	row(f, "0", "S521", "MW-H-13.0", "L9", "400", "Grey-2")
	keeper.Post("/wire/receive", f).Wants(t, 200, []string{">190.0<", ">210.0<"}, nil)
}

// row fills one row of a delivery.
func row(f url.Values, i, spool, wire, lot, gross, tare string) {
	for name, value := range map[string]string{"spool": spool, "wire": wire, "lot": lot, "gross_g": gross, "tare_g": tare, "cost": "", "location": "rack A1"} {
		f.Set(name+"-"+i, value)
	}
}

var shownHash = regexp.MustCompile(`name="shown" value="([0-9a-f]+)"`)

func TestReceive(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	v := visit.Open(t, shop).As(t, workshop.Bookkeeper)
	v.Get("/wire/receive").Wants(t, 200, []string{"What came in?", `value="S521"`, `value="2026-03-02"`, `name="rows" value="1"`}, []string{"Take in"})
	f := url.Values{"rows": {"1"}, "received_on": {"2026-03-02"}, "cost": {"90.00"}, "freight": {"9.01"}, "delivery": {""}, "act": {"more"}}
	row(f, "0", "S521", "mw-h-13.0", "L9", "400 g", "100")
	v.Post("/wire/receive", f).Wants(t, 200, []string{"Spool 5", `value="400 g"`, `value="S525"`}, nil)
	f.Set("rows", "5")
	f.Set("act", "look")
	row(f, "1", "S522", "", "", "", "")
	row(f, "2", "S523", "MW-H-99", "L9", "0.8 kg", "big")
	v.Post("/wire/receive", f).Wants(t, 422, []string{`href="#f-tare_g-2"`, `value="0.8 kg"`}, nil)
	f.Set("tare_g-2", "200")
	v.Post("/wire/receive", f).Wants(t, 422, []string{"wire MW-H-99 is unknown to the shop", `href="#f-wire-2"`}, []string{`href="#f-wire-1"`})
	f.Set("wire-2", "MW-R-8.0")
	p := v.Post("/wire/receive", f)
	p.Wants(t, 200, []string{"2 spools for 99.01 EUR", "33.00", "66.01", "Nothing is posted yet", ">Take in<"}, nil)
	f.Set("shown", shownHash.FindStringSubmatch(p.Body)[1])
	f.Set("act", "post")
	f.Set("cost", "93.00")
	p = v.Post("/wire/receive", f)
	p.Wants(t, 200, []string{"2 spools for 102.01 EUR", "Nothing is posted yet"}, nil)
	f.Set("shown", shownHash.FindStringSubmatch(p.Body)[1])
	if p = v.Post("/wire/receive", f); p.Status != 303 || p.To() != "/wire/labels?delivery=D260302-1" {
		t.Fatalf("%d to %q: %.2000s", p.Status, p.To(), p.Body)
	}
	v.Get(p.To()).Wants(t, 200, []string{"2 spools of delivery D260302-1 on the shelf", "2 labels", "MW-H-13.0", `aria-label="QR code S523"`, `aria-label="bar code S521"`, "13.0 thou"}, nil)
	v.Get("/wire/spools/S523").Wants(t, 200, []string{`href="/wire/labels?delivery=D260302-1"`, "rack A1"}, nil)
	if p := v.Get("/wire/find?code=D260302-1"); p.To() != "/wire/labels?delivery=D260302-1" {
		t.Errorf("to %q", p.To())
	}
	book := v.Get("/wire/labels.xlsx?delivery=D260302-1")
	if book.Status != 200 || !strings.HasPrefix(book.Body, "PK") {
		t.Errorf("workbook: %d", book.Status)
	}
	v.Get("/wire/labels?spool=S521&start=3").Wants(t, 200, []string{"1 label", "place 1, used", "place 2, used"}, []string{"place 3, used"})
	v.Get("/wire/labels?spool=S521&start=9").Wants(t, 422, []string{"no place from 1 to 8", `value="9"`}, []string{"place 1, used"})
	v.Get("/wire/labels?spool=S521,+S-9").Wants(t, 422, []string{"S-9"}, nil)
}

func TestReceiveOneSpool(t *testing.T) {
	v := visit.Open(t, testkit.ScenarioShop(t)).As(t, workshop.Lead)
	f := url.Values{"rows": {"1"}, "received_on": {"2026-03-02"}, "cost": {""}, "freight": {""}, "delivery": {""}, "act": {"look"}}
	row(f, "0", "S521", "MW-H-13.0", "L9", "400", "100")
	v.Post("/wire/receive", f).Wants(t, 422, []string{"what the wire on this spool cost"}, nil)
	f.Set("cost", "12.50")
	p := v.Post("/wire/receive", f)
	f.Set("act", "post")
	f.Set("shown", shownHash.FindStringSubmatch(p.Body)[1])
	if p := v.Post("/wire/receive", f); p.Status != 303 || p.To() != "/wire/labels?spool=S521" {
		t.Fatalf("%d to %q: %.2000s", p.Status, p.To(), p.Body)
	}
	if p := v.Post("/wire/receive", f); p.Status != 303 {
		t.Fatalf("again: %d", p.Status)
	}
	v.Get("/wire/labels?spool=S521").Wants(t, 200, []string{"nothing is changed"}, nil)
}

func TestTrace(t *testing.T) {
	shop, wound := woundShop(t)
	v := visit.Open(t, shop).As(t, workshop.Winder)
	b := wound[0]
	ordered := string(b.Serves[0].Order)
	p := v.Get("/wire/trace?order=" + ordered)
	p.Wants(t, 200, []string{"from its strings to the lots", string(b.Code), "Supplier and lot", `class="thread"`, "Strings and what they were wound from"}, nil)
	lot := regexp.MustCompile(`href="(/wire/trace\?lot=[^"]+)"`).FindStringSubmatch(p.Body)
	if lot == nil {
		t.Fatal("no way to a lot")
	}
	v.Get(lot[1]).Wants(t, 200, []string{"is in the strings of", ordered, "Recall list", "Supplier"}, nil)
	list := v.Get(strings.Replace(lot[1], "trace", "recall.xlsx", 1))
	if list.Status != 200 || !strings.HasPrefix(list.Body, "PK") {
		t.Errorf("recall list: %d", list.Status)
	}
	if p := v.Get("/wire/trace?look=S401"); p.To() != "/wire/trace?lot=CV2509-626" {
		t.Errorf("a spool's trace: %q", p.To())
	}
	v.Get("/wire/trace?look=nothing").Wants(t, 422, []string{"is called", `value="nothing"`}, nil)
	v.Get("/wire/trace?lot=nothing").Wants(t, 422, []string{"nothing"}, nil)
	v.Get("/wire/trace?lot=CV2602-136").Wants(t, 200, []string{"CV2602-136"}, nil)
}

// TestTraceOfWireThatIsHeld: batches that are released and not wound yet hang on the spool that they hold wire of.
func TestTraceOfWireThatIsHeld(t *testing.T) {
	shop, ctx, day := testkit.ScenarioShop(t), testkit.As(t.Context(), workshop.Owner), testkit.Day(t)
	if _, err := shop.ProposeDay(ctx, day); err != nil {
		t.Fatal(err)
	}
	plan, err := shop.ReleaseDay(ctx, day)
	if err != nil {
		t.Fatal(err)
	}
	v := visit.Open(t, shop).As(t, workshop.Winder)
	draw := plan.Plan.Machines[0].Batches[0].Draws[0]
	p := v.Get(v.Get("/wire/trace?look=" + string(draw.Spool)).To())
	if threads, held := strings.Count(p.Body, `class="thread"`), strings.Count(p.Body, ", released"); held == 0 || threads != 2+held { // supplier to lot, lot to its one spool, and on
		t.Errorf("%d threads, want the lot's two and one to each of %d batches that hold its wire", threads, held)
	}
}
