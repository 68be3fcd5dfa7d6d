package main

import (
	"context"
	"strconv"

	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

func (a *app) spool() *cobra.Command {
	c := &cobra.Command{
		Use:   "spool",
		Short: "Place, quarantine, release, return or write off a spool",
		Args:  noArgs,
		RunE:  func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(a.spoolPlace(), a.spoolState("quarantine", "Keep a spool out of plans", (*workshop.Shop).Quarantine),
		a.spoolState("release", "Give a quarantined spool back to planning", (*workshop.Shop).ReleaseSpool),
		a.spoolTakeOff("return", "Send a spool, or a part of its wire, back to the supplier", (*workshop.Shop).ReturnToSupplier),
		a.spoolTakeOff("write-off", "Take wire off the books", (*workshop.Shop).WriteOff))
	return c
}

func (a *app) spoolPlace() *cobra.Command {
	c := &cobra.Command{
		Use:   "place SPOOL LOCATION",
		Short: "Carry a spool to another place",
		Args:  takes(2, 2, "a spool and its new place"),
		RunE: func(c *cobra.Command, args []string) error {
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				now, err := shop.Place(ctx, stock.SpoolCode(args[0]), args[1])
				return a.printSpool(now, err)
			})
		},
	}
	a.jsonFlag(c)
	return c
}

func (a *app) spoolState(name, short string, do func(*workshop.Shop, context.Context, stock.SpoolCode, string) (workshop.SpoolNow, error)) *cobra.Command {
	var reason string
	c := &cobra.Command{
		Use:   name + " SPOOL --reason TEXT",
		Short: short,
		Args:  takes(1, 1, "a spool"),
		RunE: func(c *cobra.Command, args []string) error {
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				now, err := do(shop, ctx, stock.SpoolCode(args[0]), reason)
				return a.printSpool(now, err)
			})
		},
	}
	c.Flags().StringVar(&reason, "reason", "", "why")
	a.jsonFlag(c)
	return c
}

func (a *app) spoolTakeOff(name, short string, do func(*workshop.Shop, context.Context, workshop.TakeOff) (workshop.Posted, error)) *cobra.Command {
	var in workshop.TakeOff
	var mass string
	c := &cobra.Command{
		Use:   name + " SPOOL --reason TEXT",
		Short: short,
		Args:  takes(1, 1, "a spool"),
		RunE: func(c *cobra.Command, args []string) (err error) {
			in.Spool = stock.SpoolCode(args[0])
			if mass != "" {
				if in.Mass, err = gramsOf("--mass", mass); err != nil {
					return err
				}
				if in.Mass == 0 {
					return usagef("--mass: must be more than 0; leave it out for all that is there")
				}
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				p, err := do(shop, ctx, in)
				return a.printPosted(p, err)
			})
		},
	}
	c.Flags().StringVar(&mass, "mass", "", "grams; without it all that is there")
	c.Flags().StringVar(&in.Reason, "reason", "", "why")
	c.Flags().StringVar(&in.Key, "key", "", "the same key posts once")
	a.jsonFlag(c)
	return c
}

func (a *app) reverse() *cobra.Command {
	var reason string
	c := &cobra.Command{
		Use:   "reverse MOVEMENT --reason TEXT",
		Short: "Take back a movement that should not have been posted",
		Args:  takes(1, 1, "the number of a movement"),
		RunE: func(c *cobra.Command, args []string) error {
			id, err := strconv.ParseInt(args[0], 10, 64)
			if err != nil {
				return usagef("%q is not the number of a movement", args[0])
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				p, err := shop.Reverse(ctx, stock.MovementID(id), reason)
				return a.printPosted(p, err)
			})
		},
	}
	c.Flags().StringVar(&reason, "reason", "", "why")
	a.jsonFlag(c)
	return c
}

func (a *app) printSpool(now workshop.SpoolNow, err error) error {
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(api.SpoolBody(now))
	}
	a.say("spool %s of %s: %s, %s, at %q", now.Spool.Code, now.Spool.Wire, now.Spool.Mass, now.Spool.State, now.Spool.Location)
	return nil
}

func (a *app) printPosted(p workshop.Posted, err error) error {
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(api.PostedBody(p))
	}
	m := p.Movement
	a.say("movement %d: %s of %s on spool %s, which holds %s", m.ID, m.Kind, m.Mass, m.Spool, p.Spool.Mass)
	return nil
}
