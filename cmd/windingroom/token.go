package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"windingroom/internal/workshop"
)

func (a *app) token() *cobra.Command {
	c := &cobra.Command{Use: "token", Short: "Bearer tokens for programs", Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() }}
	var role string
	add := &cobra.Command{
		Use:   "add NAME --role ROLE",
		Short: "Make a new bearer token and print it, once",
		Args:  takes(1, 1, "one name"),
		RunE: func(c *cobra.Command, args []string) error {
			r, err := workshop.ParseRole(role)
			if err != nil {
				return usagef("--role: %v", err)
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				token, err := shop.AddToken(ctx, args[0], r)
				if err != nil {
					return err
				}
				_, err = fmt.Fprintln(a.out, token)
				return err
			})
		},
	}
	add.Flags().StringVar(&role, "role", "", "owner, lead, winder or bookkeeper")
	c.AddCommand(add)
	return c
}
