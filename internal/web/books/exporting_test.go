package books_test

import (
	"context"
	"net/url"
	"os"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/stock"
	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/web"
	"windingroom/internal/web/books"
	"windingroom/internal/workshop"
)

// gate is a store whose ledger is read no further than to its first movement until it is let through.
type gate struct {
	workshop.Store
	shut atomic.Pointer[chan struct{}]
}

func gated(shop *workshop.Shop) *gate {
	g := &gate{Store: shop.Store}
	shop.Store = g
	return g
}

func (g *gate) hold() { g.shut.Store(new(make(chan struct{}))) }
func (g *gate) let()  { close(*g.shut.Swap(nil)) }

func (g *gate) Read(ctx context.Context, fn func(workshop.Reader) error) error {
	return g.Store.Read(ctx, func(r workshop.Reader) error { return fn(gatedReader{r, ctx, g}) })
}

type gatedReader struct {
	workshop.Reader
	ctx  context.Context
	gate *gate
}

func (r gatedReader) Ledger(first, last calendar.Date, do func(workshop.LedgerLine) error) error {
	if shut := r.gate.shut.Load(); shut != nil {
		select {
		case <-*shut:
		case <-r.ctx.Done():
			return r.ctx.Err()
		}
	}
	return r.Reader.Ledger(first, last, do)
}

// ready asks for the export's page until it is no longer being written.
func ready(t *testing.T, v *visit.Visitor) string {
	t.Helper()
	for range 200 {
		if p := v.Get("/books/exports"); !strings.Contains(p.Body, "is being written") {
			return p.Body
		}
		time.Sleep(20 * time.Millisecond)
	}
	t.Fatal("the file is not written within four seconds")
	return ""
}

var year = url.Values{"of": {"2026"}, "as": {"xlsx"}}

func TestALongExport(t *testing.T) {
	books.EveryExportIsLong(t)
	shop := testkit.ScenarioShop(t)
	g := gated(shop)
	ending, end := context.WithCancel(t.Context())
	site := visit.Open(t, shop, web.Options{Ending: ending})
	keeper, owner := site.As(t, workshop.Bookkeeper), site.As(t, workshop.Owner)
	keeper.Get("/books/exports").Wants(t, 200, []string{"No file is being written for you"}, nil)
	g.hold()
	if p := keeper.Post("/books/exports", year); p.Status != 303 || p.To() != "/books/exports" {
		t.Fatalf("asked: %d to %s", p.Status, p.To())
	}
	keeper.Get("/books/exports").Wants(t, 200, []string{"The workbook of 2026 is being written", `<noscript><meta http-equiv="refresh" content="2">`, `hx-trigger="every 1s"`, " movements", "Cancel"}, []string{"/file"})
	keeper.Post("/books/exports", url.Values{"of": {"2025"}, "as": {"csv"}})
	keeper.Get("/books/exports").Wants(t, 200, []string{"Another file of yours is still being written", "workbook of 2026"}, nil)
	if p := keeper.Get("/books/exports/file"); p.Status != 303 {
		t.Errorf("a file that is not written yet: %d", p.Status)
	}
	owner.Get("/books/exports").Wants(t, 200, []string{"No file is being written for you"}, nil)

	keeper.Post("/books/exports/cancel", nil)
	keeper.Get("/books/exports").Wants(t, 200, []string{"nothing of it is kept", "No file is being written for you"}, nil)
	keeper.Post("/books/exports", year)
	g.let()
	body := ready(t, keeper)
	if !strings.Contains(body, "The workbook of 2026 is ready") || !strings.Contains(body, `href="/books/exports/file" download`) {
		t.Errorf("no file is offered: %.2000s", body)
	}
	p := keeper.Get("/books/exports/file")
	if p.Status != 200 || !strings.HasPrefix(p.Body, "PK") || p.Header.Get("Content-Disposition") != `attachment; filename="books-2026.xlsx"` {
		t.Errorf("the file: %d, %s", p.Status, p.Header.Get("Content-Disposition"))
	}
	keeper.Get("/books").Wants(t, 200, []string{"Your workbook of 2026 is ready"}, nil)

	g.hold()
	owner.Post("/books/exports", year)
	end()
	if body := ready(t, owner); !strings.Contains(body, "The service was stopped meanwhile") {
		t.Errorf("after the server ends: %.2000s", body)
	}
	winder := site.As(t, workshop.Winder)
	winder.Post("/books/exports", year).Wants(t, 403, []string{"needs the role bookkeeper or owner"}, nil)
	keeper.Post("/books/exports", url.Values{"of": {"soon"}}).Wants(t, 422, nil, nil)
}

// No file of an export has a name while it is written or waits, so that nothing is left of it however the program ends.
func TestExportsLeaveNothing(t *testing.T) {
	books.EveryExportIsLong(t)
	t.Setenv("TMPDIR", t.TempDir())
	shop := testkit.ScenarioShop(t)
	g := gated(shop)
	v := visit.Open(t, shop).As(t, workshop.Bookkeeper)
	named := func() (names []string) {
		files, err := os.ReadDir(os.Getenv("TMPDIR"))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			if strings.HasPrefix(f.Name(), "windingroom-") {
				names = append(names, f.Name())
			}
		}
		return names
	}
	none := func(when string) { // a name lives for as long as it takes to open the file
		t.Helper()
		for range 100 {
			if len(named()) == 0 {
				return
			}
			time.Sleep(10 * time.Millisecond)
		}
		t.Errorf("%s there are %v", when, named())
	}
	g.hold()
	v.Post("/books/exports", year)
	none("while it is written")
	g.let()
	ready(t, v)
	none("while it waits")
	v.Get("/books/years/2026/books.zip")
	none("after a download")
}

// off makes books of February that do not tie out: a draw that no result stands behind.
func offBooks(t *testing.T) *workshop.Shop {
	t.Helper()
	shop := testkit.ScenarioShop(t)
	day := testkit.Day(t) - 10
	err := shop.Store.InTx(t.Context(), func(tx workshop.Tx) error {
		spools, err := tx.Spools()
		if err != nil {
			return err
		}
		b := spools[0]
		_, err = tx.Post([]stock.Movement{{Spool: b.Code, Kind: stock.Draw, Mass: -100_000, Cost: b.CostOf(-100_000), EffectiveOn: day, EffectiveAt: day.Time(), PostedAt: day.Time(), Person: "x",
			Reason: "a draw that no result stands behind", Source: "x"}})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return shop
}

func TestBooksThatAreOffAreKeptBack(t *testing.T) {
	shop := offBooks(t)
	v := visit.Open(t, shop).As(t, workshop.Bookkeeper)
	v.Get("/books/months/2026-02").Wants(t, 200, []string{"does not tie out", "Books of which a check differs are kept back", "Look at the checks", "all the same"}, []string{"Workbook of February"})
	v.Get("/books/months/2026-02/books.xlsx").Wants(t, 409, []string{"The books do not tie out: the workbook of February 2026 is kept back", "bear the wire drawn", "EUR"}, nil)
	v.Get("/books/years/2026/books.zip").Wants(t, 409, []string{"the CSV of 2026 is kept back"}, nil)
	if p := v.Get("/books/months/2026-02/books.xlsx?unreconciled=true"); p.Status != 200 || !strings.HasPrefix(p.Body, "PK") {
		t.Errorf("all the same: %d", p.Status)
	}
	if p := v.Post("/books/exports", url.Values{"of": {"2026-02"}, "as": {"xlsx"}, "unreconciled": {"true"}}); p.To() != "/books/months/2026-02/books.xlsx?unreconciled=true" {
		t.Errorf("a short one all the same leads to %s", p.To())
	}
	books.EveryExportIsLong(t)
	w := visit.Open(t, shop).As(t, workshop.Bookkeeper)
	w.Post("/books/exports", url.Values{"of": {"2026-02"}, "as": {"csv"}})
	if body := ready(t, w); !strings.Contains(body, "the CSV of February 2026 is kept back") {
		t.Errorf("a long one: %.2000s", body)
	}
}
