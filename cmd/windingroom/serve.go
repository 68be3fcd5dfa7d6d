package main

import (
	"context"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"time"

	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/httpd"
	"windingroom/internal/store"
	"windingroom/internal/web"
	"windingroom/internal/workshop"
)

func (a *app) serve() *cobra.Command {
	var file, addr string
	c := &cobra.Command{
		Use:   "serve",
		Short: "Serve the pages and the API",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			cfg, err := a.configuration(file)
			if err != nil {
				return err
			}
			if addr != "" {
				cfg.Addr = addr
				if err := cfg.Validate(); err != nil {
					return usage(err)
				}
			}
			db, err := store.Open(c.Context(), cfg.Database)
			if err != nil {
				return err
			}
			defer db.Close()
			if _, _, err := db.Migrate(c.Context()); err != nil {
				return err
			}
			shop, err := newShop(cfg, db, time.Now)
			if err != nil {
				return err
			}
			level, err := cfg.Level()
			if err != nil {
				return err
			}
			log := slog.New(slog.NewTextHandler(a.err, &slog.HandlerOptions{Level: level}))
			night, err := timetable(cfg, db, shop, log)
			if err != nil {
				return usage(err)
			}
			stop, err := night.Start(c.Context())
			if err != nil {
				return err
			}
			defer stop()
			shown, err := cfg.Shown()
			if err != nil {
				return usage(err)
			}
			owned, err := shop.HasOwner(c.Context())
			if err != nil {
				return err
			}
			d := door{addr: cfg.Addr, proxies: cfg.TrustedProxies, pages: web.Options{Units: shown, NextNight: night.Next, Jobs: night.Names()}}
			return a.listen(c.Context(), shop, log, d, func(url string) {
				a.say("serving on %s", url)
				if !owned {
					a.say("nobody can sign in as owner yet; at the terminal: windingroom user add NAME --role owner")
				}
			})
		},
	}
	c.Flags().StringVar(&file, "config", "", "configuration file (see config.example.yaml)")
	c.Flags().StringVar(&addr, "addr", "", "HOST:PORT to serve on (default 127.0.0.1:8080)")
	return c
}

// door is where the service is reached, and how its pages are made.
type door struct {
	addr    string
	proxies []string // whose word on where a request comes from is taken
	pages   web.Options
}

// listen serves until the context ends, then lets running requests finish. up is told the address when it is open.
func (a *app) listen(ctx context.Context, shop *workshop.Shop, log *slog.Logger, d door, up func(url string)) error {
	listener, err := net.Listen("tcp", d.addr)
	if err != nil {
		return fmt.Errorf("cannot serve on %s: %w", d.addr, err)
	}
	engine := httpd.Engine(shop, log, buildInfo())
	if err := engine.SetTrustedProxies(d.proxies); err != nil {
		return usage(err)
	}
	api.Register(engine, shop)
	d.pages.Ending = ctx
	web.Register(engine, shop, d.pages)
	server := &http.Server{
		Handler:           engine,
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       30 * time.Second,
		WriteTimeout:      60 * time.Second, // room for a plan's search and a workbook
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    32 << 10,
		ErrorLog:          slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
	up("http://" + listener.Addr().String())
	stopped := make(chan error, 1)
	go func() { stopped <- server.Serve(listener) }()
	select {
	case err := <-stopped:
		return err
	case <-ctx.Done():
	}
	grace, cancel := context.WithTimeout(context.WithoutCancel(ctx), 20*time.Second)
	defer cancel()
	return server.Shutdown(grace)
}
