package jobs

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"windingroom/internal/calendar"
	"windingroom/internal/workshop"
)

// NightlyCheck runs the reorder check of the day.
func NightlyCheck(shop *workshop.Shop) Job {
	return Job{"nightly check", func(ctx context.Context, day calendar.Date) (string, error) {
		n, err := shop.RunNight(ctx, day)
		if err != nil {
			return "", err
		}
		return n.Headline(), nil
	}}
}

// Channel is a way on which the night's short list leaves the shop. Send fails with workshop.ErrUnsure where the message may have arrived.
type Channel struct {
	Name string
	Send func(context.Context, workshop.NightReport) error
}

// Digest sends the short list of the day's check, once on each channel.
func Digest(shop *workshop.Shop, channels []Channel) Job {
	return Job{"digest", func(ctx context.Context, day calendar.Date) (string, error) {
		n, err := shop.NightOf(ctx, day)
		if err != nil {
			return "", err
		}
		var sent []string
		var failures []error
		for _, c := range channels {
			left, err := shop.SendOnce(ctx, day, c.Name, func(ctx context.Context) error { return c.Send(ctx, n) })
			if err != nil {
				failures = append(failures, fmt.Errorf("%s: %w", c.Name, err))
			} else if left {
				sent = append(sent, c.Name)
			}
		}
		if len(sent) == 0 {
			return "nothing left to send", errors.Join(failures...)
		}
		return "sent by " + strings.Join(sent, ", "), errors.Join(failures...)
	}}
}

// Backups says where backups go.
type Backups struct {
	Dir   string
	Keep  int // how many are kept, at least 1
	Write func(ctx context.Context, path string) error
	Check func(ctx context.Context, path string) ([]workshop.Discrepancy, error) // tries a backup out
}

// Backup writes the day's backup, tries it out, and removes those beyond the number that is kept. Where it is not sound none is removed.
func Backup(b Backups) Job {
	return Job{"backup", func(ctx context.Context, day calendar.Date) (string, error) {
		if err := os.MkdirAll(b.Dir, 0o700); err != nil {
			return "", err
		}
		path := filepath.Join(b.Dir, "windingroom-"+day.String()+".db")
		if err := b.Write(ctx, path); err != nil {
			return "", err
		}
		broken, err := b.Check(ctx, path)
		switch {
		case err != nil:
			return "", fmt.Errorf("%s cannot be restored: %w", path, err)
		case len(broken) > 0:
			return "", fmt.Errorf("%s breaks %d invariants, the first: %s: %s: %s", path, len(broken), broken[0].Invariant, broken[0].Subject, broken[0].Detail)
		}
		removed, err := b.tidy()
		return fmt.Sprintf("%s, restored on trial and sound; %d old ones removed", path, removed), err
	}}
}

// backupName is what the job names its files, and the only files that it removes; .part is one that was not finished.
var backupName = regexp.MustCompile(`^windingroom-\d{4}-\d{2}-\d{2}\.db(\.part)?$`)

// tidy removes the oldest backups beyond the number that is kept.
func (b Backups) tidy() (removed int, err error) {
	entries, err := os.ReadDir(b.Dir)
	if err != nil {
		return 0, err
	}
	var whole, old []string
	for _, e := range entries {
		match := backupName.FindStringSubmatch(e.Name())
		switch {
		case match == nil || !e.Type().IsRegular():
		case match[1] != "":
			old = append(old, e.Name())
		default:
			whole = append(whole, e.Name())
		}
	}
	slices.Sort(whole)
	old = append(old, whole[:max(len(whole)-max(b.Keep, 1), 0)]...)
	for _, name := range old {
		if err := os.Remove(filepath.Join(b.Dir, name)); err != nil {
			return removed, err
		}
		removed++
	}
	return removed, nil
}

// Tidy forgets what is kept for a while only: the API's answers to repeated requests, sessions that are over, old tries to sign in.
func Tidy(shop *workshop.Shop) Job {
	return Job{"tidy", func(ctx context.Context, _ calendar.Date) (string, error) {
		answers, err := shop.ForgetAnswers(ctx)
		if err != nil {
			return "", err
		}
		sessions, tries, err := shop.ForgetSessions(ctx)
		return fmt.Sprintf("%d kept answers, %d sessions, %d tries to sign in forgotten", answers, sessions, tries), err
	}}
}
