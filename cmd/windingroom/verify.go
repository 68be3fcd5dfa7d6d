package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/workshop"
)

func (a *app) verify() *cobra.Command {
	c := &cobra.Command{
		Use:   "verify",
		Short: "Check every invariant of stock, plans and books",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				broken, err := shop.Verify(ctx)
				if err != nil {
					return err
				}
				if a.json {
					if err := a.printJSON(api.VerificationBody(broken)); err != nil {
						return err
					}
				}
				for _, d := range broken {
					fmt.Fprintf(a.err, "%s: %s: %s\n", d.Invariant, d.Subject, d.Detail)
				}
				if len(broken) > 0 {
					return fmt.Errorf("%d broken", len(broken))
				}
				a.say("verified: every invariant holds")
				return nil
			})
		},
	}
	a.jsonFlag(c)
	return c
}
