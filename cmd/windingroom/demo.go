package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"windingroom/exports"
	"windingroom/internal/calendar"
	"windingroom/internal/config"
	"windingroom/internal/costing"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
	"windingroom/testdata/scenario"
)

func (a *app) demo() *cobra.Command {
	var dir, addr string
	var once bool
	c := &cobra.Command{
		Use:   "demo",
		Short: "Run an invented shop: import, plan, release, batch sheets, pages",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if a.database != "" {
				return usagef("demo makes its own database in --dir; --database is not for it")
			}
			ctx := asOwner(c.Context())
			shop, closeShop, err := a.runDemo(ctx, dir)
			if err != nil {
				return err
			}
			defer closeShop()
			if once {
				return nil
			}
			password, err := letDemoPeopleIn(ctx, shop)
			if err != nil {
				return err
			}
			token, err := shop.AddToken(ctx, "demo", workshop.Owner)
			if err != nil {
				return err
			}
			log := slog.New(slog.NewTextHandler(a.err, &slog.HandlerOptions{Level: slog.LevelWarn}))
			return a.listen(c.Context(), shop, log, door{addr: addr}, func(url string) {
				a.say("pages     %s  (stop with Ctrl-C)", url)
				for _, p := range demoPeople {
					a.say("sign in   as %s (%s) with the password %s", p.name, p.role, password)
				}
				a.say("API       with the bearer token %s", token)
			})
		},
	}
	c.Flags().StringVar(&dir, "dir", "", "folder for the demo's database and workbooks (default: a temporary one)")
	c.Flags().StringVar(&addr, "addr", config.Default().Addr, "HOST:PORT to serve on")
	c.Flags().BoolVar(&once, "once", false, "stop when the files are written instead of serving")
	return c
}

// runDemo makes the invented shop and takes it through its day.
func (a *app) runDemo(ctx context.Context, dir string) (*workshop.Shop, func(), error) {
	date, err := calendar.ParseDate(scenario.Day)
	if err != nil {
		return nil, nil, err
	}
	if dir, err = demoFolder(ctx, dir); err != nil {
		return nil, nil, err
	}
	cfg := config.Default()
	cfg.Shop, cfg.TimeZone = scenario.Shop, "UTC" // the same day wherever it runs
	cfg.Database = "sqlite:" + filepath.Join(dir, "demo.db")
	db, err := store.Open(ctx, cfg.Database)
	if err != nil {
		return nil, nil, err
	}
	shop, err := a.demoDay(ctx, cfg, db, dir, date)
	if err != nil {
		db.Close()
		return nil, nil, err
	}
	return shop, func() { db.Close() }, nil
}

func (a *app) demoDay(ctx context.Context, cfg config.Config, db *store.DB, dir string, date calendar.Date) (*workshop.Shop, error) {
	if _, _, err := db.Migrate(ctx); err != nil {
		return nil, err
	}
	shop, err := newShop(cfg, db, fixedClock(date))
	if err != nil {
		return nil, err
	}
	a.say("demo      %s, an invented shop, on %s; all its people, prices and orders are invented", cfg.Shop, date)
	report, err := shop.Import(ctx, scenario.Files, false)
	if err != nil {
		return nil, err
	}
	for _, f := range report.Counts {
		a.say("imported  %-14s %5d", f.File, f.Added)
	}
	if _, err = shop.ProposeDay(ctx, date); err != nil {
		return nil, err
	}
	plan, err := shop.ReleaseDay(ctx, date)
	if err != nil {
		return nil, err
	}
	a.say("released  the plan of %s", date)
	a.printPlan(plan)
	book := filepath.Join(dir, fmt.Sprintf("batch-sheets-%s.xlsx", date))
	sheets, err := writeSheets(ctx, shop, date, book)
	if err != nil {
		return nil, err
	}
	last := costing.PeriodOf(date) - 1
	ledger := filepath.Join(dir, fmt.Sprintf("books-%s.xlsx", last))
	if err := shop.Books(ctx, last, last, func(b *workshop.Books) error {
		return errors.Join(writeWholeBy(ledger, func(w io.Writer) error { return exports.Books(w, b) }), b.Reconciled())
	}); err != nil {
		return nil, err
	}
	night, err := shop.RunNight(ctx, date)
	if err != nil {
		return nil, err
	}
	if _, err := shop.ProposePurchases(ctx, date, ""); err != nil {
		return nil, err
	}
	a.printShortList(night)
	broken, err := shop.Verify(ctx)
	if err != nil {
		return nil, err
	}
	if len(broken) > 0 {
		return nil, fmt.Errorf("%s: %s: %s", broken[0].Invariant, broken[0].Subject, broken[0].Detail)
	}
	a.say("verified  every invariant of stock and plan holds")
	a.say("sheets    %s (%s)", book, counted(sheets, "batch", "batches"))
	a.say("books     %s", ledger)
	a.say("database  %s", cfg.Database)
	return shop, nil
}

// demoFolder makes the demo's folder and clears an earlier demo's database from it, and nothing else: a demo.db that is no
// shop's is left alone and refused.
func demoFolder(ctx context.Context, dir string) (string, error) {
	if dir == "" {
		return os.MkdirTemp("", "windingroom-demo-")
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return "", err
	}
	file := filepath.Join(dir, "demo.db")
	if _, err := os.Stat(file); err == nil {
		if err := refuseOther(ctx, file); err != nil {
			return "", err
		}
	}
	for _, end := range []string{"", "-wal", "-shm"} {
		if err := os.Remove(file + end); err != nil && !os.IsNotExist(err) {
			return "", err
		}
	}
	return filepath.Abs(dir)
}

// refuseOther refuses a file that is not a shop's database.
func refuseOther(ctx context.Context, file string) error {
	other := usagef("%s is there and is no demo's database; choose another --dir", file)
	db, err := store.Open(ctx, "sqlite:"+file)
	if err != nil {
		return other
	}
	defer db.Close()
	if known, err := db.Known(ctx); err != nil || !known {
		return other
	}
	return nil
}

// fixedClock runs from half past six in the morning of a day, so that the demo's today is always the same.
func fixedClock(date calendar.Date) func() time.Time {
	start := time.Now()
	morning := date.In(time.UTC).Add(6*time.Hour + 30*time.Minute)
	return func() time.Time { return morning.Add(time.Since(start)) }
}
