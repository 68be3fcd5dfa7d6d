package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/config"
	"windingroom/internal/costing"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

// open opens the shop on its database for one command, with the person at the command line acting as owner. A database that
// is new is brought to the newest migration; an older one is left alone, since a server may be using it.
func (a *app) open(ctx context.Context) (context.Context, *workshop.Shop, func(), error) {
	return a.openWith(ctx, "")
}

// withShop opens the shop for one command and closes it after it.
func (a *app) withShop(ctx context.Context, do func(context.Context, *workshop.Shop) error) error {
	ctx, shop, closeShop, err := a.open(ctx)
	if err != nil {
		return err
	}
	defer closeShop()
	return do(ctx, shop)
}

// openWith opens it as a configuration file says.
func (a *app) openWith(ctx context.Context, file string) (context.Context, *workshop.Shop, func(), error) {
	cfg, err := a.configuration(file)
	if err != nil {
		return ctx, nil, nil, err
	}
	db, err := store.Open(ctx, cfg.Database)
	if err != nil {
		return ctx, nil, nil, err
	}
	if err := db.MigrateNew(ctx); err != nil {
		db.Close()
		return ctx, nil, nil, err
	}
	shop, err := newShop(cfg, db, time.Now)
	if err != nil {
		db.Close()
		return ctx, nil, nil, err
	}
	return asOwner(ctx), shop, func() { db.Close() }, nil
}

// configuration reads the file, if one is named, then the environment, then the command line.
func (a *app) configuration(file string) (config.Config, error) {
	cfg, err := config.Load(file, os.Getenv)
	if err != nil {
		return cfg, usage(err)
	}
	if a.database != "" {
		cfg.Database = a.database
	}
	if err := cfg.Validate(); err != nil {
		return cfg, usage(err)
	}
	return cfg, nil
}

func newShop(cfg config.Config, db *store.DB, now func() time.Time) (*workshop.Shop, error) {
	zone, err := cfg.Location()
	if err != nil {
		return nil, err
	}
	days, err := cfg.ShopDays()
	if err != nil {
		return nil, err
	}
	opens, err := cfg.Opens()
	if err != nil {
		return nil, err
	}
	accounts := cfg.Books.Accounts
	return &workshop.Shop{Store: db, Name: cfg.Shop, Now: now, Zone: zone, Days: days, Opens: opens, BooksSetup: workshop.BooksSetup{
		Accounts: costing.Accounts{
			Wire: costing.Account(accounts.Wire), NotInvoiced: costing.Account(accounts.NotInvoiced), Winding: costing.Account(accounts.Winding),
			Finished: costing.Account(accounts.Finished), Wages: costing.Account(accounts.Wages), Scrap: costing.Account(accounts.Scrap),
			AbnormalScrap: costing.Account(accounts.AbnormalScrap), UsageVariance: costing.Account(accounts.UsageVariance), Difference: costing.Account(accounts.Difference),
			Revaluation: costing.Account(accounts.Revaluation), PriceDifference: costing.Account(accounts.PriceDifference),
		},
	}}, nil
}

func asOwner(ctx context.Context) context.Context {
	return workshop.WithPerson(ctx, workshop.Person{Name: userName(), Role: workshop.Owner, Via: "command line"})
}

// printJSON prints one JSON document.
func (a *app) printJSON(v any) error {
	e := json.NewEncoder(a.out)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

// say prints a line for people; with --json there is none, since standard output carries one document only.
func (a *app) say(format string, args ...any) {
	if !a.json {
		fmt.Fprintf(a.out, format+"\n", args...)
	}
}

// day reads a --date flag.
func day(flag, text string) (calendar.Date, error) {
	if text == "" {
		return 0, usagef("--%s is missing: a day such as 2026-03-02", flag)
	}
	d, err := calendar.ParseDate(text)
	if err != nil {
		return 0, usagef("--%s: %v", flag, err)
	}
	return d, nil
}
