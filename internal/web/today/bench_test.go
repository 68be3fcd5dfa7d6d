package today_test

import (
	"net/url"
	"regexp"
	"strings"
	"testing"

	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

// form gathers what a form of the page would send: its hidden fields, with more.
func form(more ...string) url.Values {
	f := url.Values{}
	for i := 0; i+1 < len(more); i += 2 {
		f.Set(more[i], more[i+1])
	}
	return f
}

// winding opens the bench of a machine that has a batch to wind, and gives its path and the batch.
func winding(t *testing.T, shop *workshop.Shop, v *visit.Visitor) (path, code string) {
	t.Helper()
	path = regexp.MustCompile(`href="(/today/bench/[^"?]+)"`).FindStringSubmatch(v.Get("/").Body)[1]
	return path, regexp.MustCompile(`name="batch" value="([^"]+)"`).FindStringSubmatch(v.Get(path).Body)[1]
}

func TestWinderWindsABatch(t *testing.T) {
	shop := released(t)
	v := visit.Open(t, shop).As(t, workshop.Winder)
	path, code := winding(t, shop, v)
	bench := v.Get(path)
	bench.Wants(t, 200, []string{`class="bench"`, "Begin: set up now", ">Good +1<", ">Good +10<", "core broke", "Cut the core", "Check the gauge", "Eye protection on", "for O-1", "S-", "turns"}[:10], []string{"Set the count right"})
	said := func(wants ...string) {
		t.Helper()
		v.Get(path).Wants(t, 200, wants, nil)
	}
	v.Post(path+"/begin", form("batch", code))
	said("Begun at 06:30.", ">Undo<")
	v.Post(path+"/count", form("batch", code, "good", "1", "key", "a"))
	said("1 good.", `<span class="figure">1</span> good`)
	v.Post(path+"/count", form("batch", code, "good", "1", "key", "a"))
	said(`<span class="figure">1</span> good`)
	v.Post(path+"/count", form("batch", code, "good", "10", "key", "b"))
	ten := regexp.MustCompile(`name="mark" value="(\d+)"`).FindStringSubmatch(v.Get(path).Body)
	if ten == nil {
		t.Fatal("the tap cannot be taken back")
	}
	v.Post(path+"/undo", form("batch", code, "mark", ten[1]))
	said("Taken back.", `<span class="figure">1</span> good`)
	v.Post(path+"/count", form("batch", code, "reason", "wrap broke", "key", "c"))
	said("1 scrapped: wrap broke.", "1 wrap broke", `<span class="figure">1</span> scrapped`)
	v.Post(path+"/count", form("batch", code, "good_is", "3", "scrapped_is", "1", "key", "d"))
	said("Set right: &#43;2 good, &#43;0 scrapped.", `<span class="figure">3</span> good`)

	v.Post(path+"/done", form("batch", code, "good", "three", "scrapped", "1", "minutes", "4", "key", "e")).Wants(t, 422, []string{"is not a number of strings", `value="three"`, "Nothing was kept yet"}, nil)
	if p := v.Post(path+"/done", form("batch", code, "good", "3", "scrapped", "1", "minutes", "4", "key", "f")); p.Status != 303 || p.To() != path+"?done="+code {
		t.Fatalf("done: %d to %q: %s", p.Status, p.To(), p.Body)
	}
	done := v.Get(path + "?done=" + code)
	done.Wants(t, 200, []string{"Batch " + code + " is done: 3 good, 1 scrapped.", "Weigh back what comes off", ">Undo<"}, nil)
	v.Get("/batches/"+code).Wants(t, 200, []string{">wound<", "1 wrap broke", "by test winder"}, nil)
	v.Post(path+"/not-done", form("batch", code, "result", "1"))
	v.Get(path+"?batch="+code).Wants(t, 200, []string{"is not done", `<span class="figure">3</span> good`}, nil)
	if broken, err := shop.Verify(testkit.As(t.Context(), workshop.Winder)); err != nil || len(broken) > 0 {
		t.Fatalf("broken: %v, %v", broken, err)
	}
}

func TestTapIsAnsweredByTheCountAlone(t *testing.T) {
	shop := released(t)
	v := visit.Open(t, shop).As(t, workshop.Winder)
	path, code := winding(t, shop, v)
	v.Post(path+"/count", form("batch", code, "good", "1"))
	p := v.Do("GET", path+"?batch="+code, nil, map[string]string{"HX-Request": "true", "HX-Target": "tally"})
	p.Wants(t, 200, []string{`<div id="tally"`, `form="taps"`, `hx-swap-oob="true"`, "1 good."}, []string{"<html", "Load"})
}

func TestSpoolsAtTheBench(t *testing.T) {
	shop := released(t)
	v := visit.Open(t, shop).As(t, workshop.Winder)
	path, code := winding(t, shop, v)
	v.Post(path+"/spool", form("batch", code, "spool", "S-9")).Wants(t, 422, []string{`value="S-9"`, `id="f-spool-wrong"`}, nil)
	page := v.Get(path).Body
	on := regexp.MustCompile(`weigh\?spool=(S-\d)`).FindStringSubmatch(page)[1]
	v.Post(path+"/spool", form("batch", code, "spool", on))
	v.Get(path).Wants(t, 200, []string{"That spool is on already"}, nil)
	other := map[string]string{"S-1": "S-2", "S-2": "S-1", "S-3": "S-4", "S-4": "S-3"}[on]
	v.Post(path+"/spool", form("batch", code, "spool", strings.ToLower(other)))
	v.Get(path).Wants(t, 200, []string{"is wound from spool " + other, "switched"}, nil)

	v.Get(path+"/weigh?spool="+on).Wants(t, 200, []string{"Weigh spool " + on + " back", `name="gross_g"`, "autofocus"}, nil)
	v.Post(path+"/weigh", form("spool", on, "gross_g", "heavy")).Wants(t, 422, []string{`value="heavy"`, `id="f-gross_g-wrong"`}, nil)
	v.Post(path+"/weigh", form("spool", "", "gross_g", "200")).Wants(t, 422, []string{`id="f-spool-wrong"`}, nil)
	v.Post(path+"/weigh", form("spool", "S-6", "gross_g", "210")).Wants(t, 422, []string{"Take the spool off", `name="second_g"`}, []string{`name="confirm"`})
	if p := v.Post(path+"/weigh", form("spool", "S-6", "gross_g", "274.9")); p.Status != 303 || p.To() != path {
		t.Fatalf("weighed: %d %s", p.Status, p.Body)
	}
	back := v.Get(path)
	back.Wants(t, 200, []string{"Spool S-6 holds", ">Undo<"}, nil)
	v.Post(path+"/unweigh", form("movement", regexp.MustCompile(`name="movement" value="(\d+)"`).FindStringSubmatch(back.Body)[1]))
	v.Get(path).Wants(t, 200, []string{"Taken back: spool S-6 holds"}, nil)
}

func TestWhoMayNotWind(t *testing.T) {
	shop := released(t)
	site := visit.Open(t, shop)
	path, code := winding(t, shop, site.As(t, workshop.Winder))
	v := site.As(t, workshop.Bookkeeper)
	v.Get("/").Wants(t, 200, nil, []string{"/today/bench/"})
	v.Get(path).Wants(t, 200, []string{"Winders, leads and owners count"}, []string{">Good +1<"})
	for _, act := range []string{"begin", "count", "undo", "not-done"} {
		v.Post(path+"/"+act, form("batch", code, "good", "1", "mark", "1", "result", "1"))
		v.Get(path).Wants(t, 200, []string{`role="alert"`, "needs the role winder, lead or owner"}, nil)
	}
	v.Post(path+"/done", form("batch", code, "good", "1", "scrapped", "0", "minutes", "0")).Wants(t, 422, nil, nil)
	v.Get("/today/bench/nowhere").Wants(t, 404, []string{"Machine nowhere"}, nil)
	v.Get(path+"?batch=B-none").Wants(t, 404, nil, nil)
	v.Get("/batches/B-none").Wants(t, 404, nil, nil)
}
