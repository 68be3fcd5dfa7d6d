package orders_test

import (
	"archive/zip"
	"bytes"
	"regexp"
	"strings"
	"testing"

	"windingroom/internal/intake"
	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

func TestImportByUpload(t *testing.T) {
	shop := testkit.Shop(t)
	site := visit.Open(t, shop)
	v := site.As(t, workshop.Bookkeeper)
	v.Get("/import").Wants(t, 200, []string{"Check only", "orders.csv"}, nil)
	files := map[string]string{"notes.csv": "a,b\n"}
	for _, name := range intake.Files() {
		files[name] = scenarioFile(t, name)
	}
	files["orders.csv"] = strings.Replace(files["orders.csv"], "P-13.5,25.5,B3", "P-13.7,25.5,<b>", 1)
	files["wires.csv"] = strings.Replace(files["wires.csv"], ",round,", ",oval,", 1)
	for _, do := range []string{"check", "import"} {
		upload(t, v, do, files).Wants(t, 422, []string{"things are wrong, so nothing was imported", "Line 3<", `<div class="at-fault"><dt>recipe</dt><dd>P-13.7</dd>`, `<dt>section</dt><dd>oval</dd>`, "recipe: ", "&lt;b&gt;"}, []string{"<b>"})
	}
	v.Get("/orders?show=all").Wants(t, 200, []string{"No order yet"}, nil)

	files["orders.csv"], files["wires.csv"] = scenarioFile(t, "orders.csv"), scenarioFile(t, "wires.csv")
	p := upload(t, v, "check", files)
	p.Wants(t, 200, []string{"The files are right. Nothing is imported yet", "Import these files", "notes.csv"}, nil)
	v.Get("/orders?show=all").Wants(t, 200, []string{"No order yet"}, nil)
	checked := regexp.MustCompile(`name="checked" value="([^"]+)"`).FindStringSubmatch(p.Body)
	if checked == nil {
		t.Fatal("nothing is carried to the import")
	}
	form := "--x\r\nContent-Disposition: form-data; name=\"checked\"\r\n\r\n" + strings.ReplaceAll(checked[1], "&#43;", "+") + "\r\n--x\r\nContent-Disposition: form-data; name=\"do\"\r\n\r\nimport\r\n--x--\r\n"
	if p := v.Send("/import", "multipart/form-data; boundary=x", strings.NewReader(form)); p.Status != 303 || p.To() != "/orders" {
		t.Fatalf("imported: %d %.2000s", p.Status, p.Body)
	}
	v.Get("/orders").Wants(t, 200, []string{"Imported: ", "O-26-101"}, nil)
	upload(t, v, "check", files).Wants(t, 200, []string{"Everything in these files is here already"}, []string{"Import these files"})

	unsaid := map[string]string{"alloys.csv": "alloy,name,density_kg_m3,ferromagnetic,core,wrap,source\nbrass-85,Brass 85,8750,no,no,yes,own weighing\n"}
	upload(t, v, "check", unsaid).Wants(t, 200, []string{"says nothing of nickel at the surface of brass-85:"}, nil)
	upload(t, v, "import", unsaid)
	v.Get("/orders").Wants(t, 200, []string{"says nothing of nickel at the surface of brass-85:"}, nil)

	w := site.As(t, workshop.Winder)
	w.Get("/import").Wants(t, 403, []string{"lead, bookkeeper or owner"}, nil)
	upload(t, w, "import", files).Wants(t, 403, []string{"lead, bookkeeper or owner"}, nil)
}

func TestImportOfZipFiles(t *testing.T) {
	v := visit.Open(t, testkit.Shop(t)).As(t, workshop.Lead)
	pack := func(names ...string) string {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		for _, name := range names {
			w, err := z.Create(name)
			if err == nil {
				_, err = w.Write([]byte(scenarioFile(t, name[strings.LastIndex(name, "/")+1:])))
			}
			if err != nil {
				t.Fatal(err)
			}
		}
		if err := z.Close(); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	upload(t, v, "check", map[string]string{"shop.zip": pack("shop/suppliers.csv", "shop/machines.csv")}).Wants(t, 200, []string{"The files are right", "machines.csv"}, nil)
	for name, tt := range map[string]struct {
		files map[string]string
		says  string
	}{
		"nothing":   {nil, "choose the CSV files"},
		"no zip":    {map[string]string{"a.zip": "PK"}, "which is no zip file"},
		"twice":     {map[string]string{"a.zip": pack("machines.csv", "old/machines.csv")}, "machines.csv twice"},
		"empty zip": {map[string]string{"a.zip": pack()}, "choose the CSV files"},
		"others":    {map[string]string{"readme.txt": "x"}, "none of the import files is in the folder"},
	} {
		t.Run(name, func(t *testing.T) {
			upload(t, v, "import", tt.files).Wants(t, 422, []string{tt.says}, nil)
		})
	}
	v.Post("/import", nil).Wants(t, 400, nil, nil)
	upload(t, v, "check", map[string]string{"orders.csv": strings.Repeat("x", 25<<20)}).Wants(t, 413, nil, nil)
}
