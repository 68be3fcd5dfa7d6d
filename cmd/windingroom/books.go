package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"windingroom/exports"
	"windingroom/internal/api"
	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

func (a *app) books() *cobra.Command {
	var month, year, out, csv, file string
	c := &cobra.Command{
		Use:   "books --month YYYY-MM --out FILE.xlsx",
		Short: "Write the books of a month, or with --year of a year, as a workbook, with --csv as CSV files",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			from, to, err := booksOf(month, year)
			if err != nil {
				return err
			}
			if out == "" && csv == "" {
				return usagef("--out is missing: the workbook to write, such as books.xlsx")
			}
			ctx, shop, closeShop, err := a.openWith(c.Context(), file)
			if err != nil {
				return err
			}
			defer closeShop()
			return shop.Books(ctx, from, to, func(b *workshop.Books) error { return a.writeBooks(b, out, csv) })
		},
	}
	c.Flags().StringVar(&month, "month", "", "the month, YYYY-MM")
	c.Flags().StringVar(&year, "year", "", "the year, YYYY, in place of a month")
	c.Flags().StringVar(&out, "out", "", "the workbook to write")
	c.Flags().StringVar(&csv, "csv", "", "folder for the same as CSV files")
	c.Flags().StringVar(&file, "config", "", "configuration file with the accounts and the rate of labour (see config.example.yaml)")
	return c
}

// booksOf reads a month, or the months of a year.
func booksOf(month, year string) (from, to costing.Period, err error) {
	switch {
	case (month == "") == (year == ""):
		return 0, 0, usagef("books takes --month YYYY-MM or --year YYYY")
	case month != "":
		from, err = period("--month", month)
		return from, from, err
	}
	if from, err = costing.ParsePeriod(year + "-01"); err != nil {
		return 0, 0, usagef("--year: %q is not a year such as 2026", year)
	}
	return from, from + 11, nil
}

// writeBooks writes books to the places that are named, and says what does not reconcile.
func (a *app) writeBooks(b *workshop.Books, out, csv string) error {
	if out != "" {
		if err := writeWholeBy(out, func(w io.Writer) error { return exports.Books(w, b) }); err != nil {
			return err
		}
		a.say("wrote the books of %s to %s", b.Name(), out)
	}
	if csv != "" {
		if err := os.MkdirAll(csv, 0o755); err != nil {
			return store.CannotWrite(csv, err)
		}
		err := exports.BooksCSV(b, func(name string) (io.WriteCloser, error) { return os.Create(filepath.Join(csv, name)) })
		if err != nil {
			return err
		}
		a.say("wrote the books of %s as CSV into %s", b.Name(), csv)
	}
	return b.Reconciled()
}

// writeWholeBy puts a file in place in one step, however long it is.
func writeWholeBy(path string, write func(io.Writer) error) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".windingroom-*")
	if err != nil {
		return store.CannotWrite(path, err)
	}
	defer os.Remove(f.Name())
	buffer := bufio.NewWriterSize(f, 1<<16)
	if err := write(buffer); err != nil {
		_ = f.Close()
		return err
	}
	if err := errors.Join(buffer.Flush(), f.Chmod(0o644), f.Sync(), f.Close()); err != nil {
		return store.CannotWrite(path, err)
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return store.CannotWrite(path, err)
	}
	return nil
}

func (a *app) explain() *cobra.Command {
	var month, wire, column string
	c := &cobra.Command{
		Use:   "explain --month YYYY-MM --wire WIRE --column COLUMN",
		Short: "From a figure of the roll-forward to its movements, their batches and people",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			p, err := period("--month", month)
			if err != nil {
				return err
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				e, err := shop.Explain(ctx, p, material.WireCode(wire), column)
				if err != nil {
					return err
				}
				body := api.ExplainedBody(e)
				if a.json {
					return a.printJSON(body)
				}
				a.say("%s %s %s: %s, at cost %s", e.Month, e.Wire, e.Column, e.Total.Mass, body.Cost)
				for i, l := range e.Lines {
					who := l.Person
					if l.WoundBy != "" {
						who = fmt.Sprintf("wound by %s, posted by %s", l.WoundBy, l.Person)
					}
					a.say("  %s  %8d  %-22s spool %-10s lot %-12s %14s %12s  %s; %s; %s", l.EffectiveOn.Time().Format(time.DateOnly), l.ID, l.Kind, l.Spool, l.Lot, l.Mass,
						body.Movements[i].Cost, l.Source, l.Reason, who)
				}
				return nil
			})
		},
	}
	c.Flags().StringVar(&month, "month", "", "the month, YYYY-MM")
	c.Flags().StringVar(&wire, "wire", "", "the wire")
	c.Flags().StringVar(&column, "column", "", "opening, received, drawn, scrap, difference or closing")
	a.jsonFlag(c)
	return c
}
