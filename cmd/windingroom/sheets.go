package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"windingroom/exports"
	"windingroom/internal/calendar"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

func (a *app) sheets() *cobra.Command {
	var date, out string
	c := &cobra.Command{
		Use:   "sheets --date DATE --out FILE.xlsx",
		Short: "Write the batch sheets of a released day",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			d, err := day("date", date)
			if err != nil {
				return err
			}
			if out == "" {
				return usagef("--out is missing: the workbook to write, such as sheets.xlsx")
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				n, err := writeSheets(ctx, shop, d, out)
				if err != nil {
					return err
				}
				a.say("wrote %d batch sheets to %s", n, out)
				return nil
			})
		},
	}
	c.Flags().StringVar(&date, "date", "", "the day, YYYY-MM-DD")
	c.Flags().StringVar(&out, "out", "", "the workbook to write")
	return c
}

// writeSheets writes the batch sheets of a released day and gives their number.
func writeSheets(ctx context.Context, shop *workshop.Shop, date calendar.Date, out string) (int, error) {
	sheets, err := shop.DaySheets(ctx, date)
	if err != nil {
		return 0, err
	}
	var book bytes.Buffer
	if err := exports.BatchSheets(&book, sheets); err != nil {
		return 0, err
	}
	return len(sheets.Sheets), writeWhole(out, book.Bytes())
}

// writeWhole puts a file in place in one step, so that nobody ever opens half of one.
func writeWhole(path string, content []byte) error {
	if err := writeBeside(path, content); err != nil {
		return store.CannotWrite(path, err)
	}
	return nil
}

func writeBeside(path string, content []byte) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".windingroom-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	_, err = f.Write(content)
	if err := errors.Join(err, f.Sync(), f.Close()); err != nil {
		return err
	}
	if err := os.Chmod(f.Name(), 0o644); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}

// clock prints an offset from the start of the working day as h:mm.
func clock(d time.Duration) string {
	m := int(d.Round(time.Minute) / time.Minute)
	return fmt.Sprintf("%d:%02d", m/60, m%60)
}
