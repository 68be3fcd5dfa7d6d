package main

import (
	"context"
	"io"
	"os"

	"github.com/spf13/cobra"

	"windingroom/internal/config"
	"windingroom/internal/estimate"
	"windingroom/internal/material"
	"windingroom/internal/winding"
	"windingroom/internal/workshop"
)

func (a *app) estimate() *cobra.Command {
	c := &cobra.Command{
		Use:   "estimate [FILE]",
		Short: "Consumption and tension of one build, read as JSON from FILE or standard input",
		Args:  takes(0, 1, "one file or none"),
		RunE: func(c *cobra.Command, args []string) error {
			body, err := a.readInput(args)
			if err != nil {
				return err
			}
			build, err := estimate.Decode(body)
			if err != nil {
				return usage(err)
			}
			// Pure arithmetic needs no database; only one that is named brings its own alloys and allowances.
			if a.database == "" && os.Getenv(config.DatabaseVariable) == "" {
				answer, err := estimate.Of(build, material.NewAlloys(material.BuiltIn()...), winding.DefaultAllowances())
				if err != nil {
					return err
				}
				return a.printJSON(answer)
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				answer, err := shop.Estimate(ctx, build)
				if err != nil {
					return err
				}
				return a.printJSON(answer)
			})
		},
	}
	a.jsonFlag(c)
	return c
}

// maxInput bounds what a command reads from a stream: far more than any build, far less than memory.
const maxInput = 1 << 20

func (a *app) readInput(args []string) ([]byte, error) {
	in := a.in
	if len(args) == 1 && args[0] != "-" {
		f, err := os.Open(args[0])
		if err != nil {
			return nil, usage(err)
		}
		defer f.Close()
		in = f
	}
	body, err := io.ReadAll(io.LimitReader(in, maxInput+1))
	if err != nil {
		return nil, usage(err) // a folder, say
	}
	if len(body) > maxInput {
		return nil, usagef("the input is longer than %d bytes", maxInput)
	}
	return body, nil
}
