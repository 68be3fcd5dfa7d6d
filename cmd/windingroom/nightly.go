package main

import (
	"context"
	"encoding/json"
	"log/slog"

	"windingroom/internal/api"
	"windingroom/internal/config"
	"windingroom/internal/notify"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
	"windingroom/jobs"
)

// timetable puts the nightly jobs together: those that the configuration asks for, in the order in which they run.
func timetable(cfg config.Config, db *store.DB, shop *workshop.Shop, log *slog.Logger) (*jobs.Timetable, error) {
	hour, minute, err := cfg.Night()
	if err != nil {
		return nil, err
	}
	t := &jobs.Timetable{Shop: shop, Log: log}
	if t.At, err = jobs.NewClock(hour, minute); err != nil {
		return nil, err
	}
	if cfg.BackupDir != "" {
		again := func(ctx context.Context, path string) error { return db.Backup(ctx, path, true) } // a day that is tried again
		t.Jobs = append(t.Jobs, jobs.Backup(jobs.Backups{Dir: cfg.BackupDir, Keep: cfg.KeepBackups, Write: again, Check: store.CheckBackup}))
	}
	t.Jobs = append(t.Jobs, jobs.NightlyCheck(shop))
	channels, err := channelsOf(cfg)
	if err != nil {
		return nil, err
	}
	if len(channels) > 0 {
		t.Jobs = append(t.Jobs, jobs.Digest(shop, channels))
	}
	t.Jobs = append(t.Jobs, jobs.Tidy(shop))
	return t, nil
}

// channelsOf gives the ways on which the night's short list leaves the shop.
func channelsOf(cfg config.Config) ([]jobs.Channel, error) {
	var channels []jobs.Channel
	to, err := cfg.Mail.Recipients()
	if err != nil {
		return nil, err
	}
	if len(to) > 0 {
		m := notify.Mail{Host: cfg.Mail.Host, Port: cfg.Mail.Port, User: cfg.Mail.User, Password: string(cfg.Mail.Password), Encryption: cfg.Mail.Encryption,
			From: cfg.Mail.From, To: to}
		channels = append(channels, jobs.Channel{Name: "mail", Send: func(ctx context.Context, n workshop.NightReport) error {
			return m.Send(ctx, cfg.Shop+": "+n.Headline(), n.Digest())
		}})
	}
	if cfg.Webhook.URL != "" {
		w := notify.Webhook{URL: cfg.Webhook.URL, Token: string(cfg.Webhook.Token)}
		channels = append(channels, jobs.Channel{Name: "webhook", Send: func(ctx context.Context, n workshop.NightReport) error {
			body, err := json.Marshal(api.NightBody(n))
			if err != nil {
				return err
			}
			return w.Send(ctx, "night-"+n.Date.String(), body)
		}})
	}
	return channels, nil
}
