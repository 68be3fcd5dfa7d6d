package main

import (
	"context"
	"time"

	"github.com/spf13/cobra"

	"windingroom/internal/workshop"
)

func (a *app) user() *cobra.Command {
	c := &cobra.Command{Use: "user", Short: "People who sign in on the pages", Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() }}
	c.AddCommand(a.userAdd(), a.userRole(), a.userPassword(), a.userList(),
		a.userAct("off", "Keep a person out from now on; what they did stays", (*workshop.Shop).TurnOff),
		a.userAct("on", "Let a person in again who was turned off", (*workshop.Shop).TurnOn))
	return c
}

func (a *app) userAdd() *cobra.Command {
	var role string
	c := &cobra.Command{
		Use:   "add NAME --role ROLE",
		Short: "Let a person sign in; the password is asked for, or read from standard input",
		Args:  takes(1, 1, "one name"),
		RunE: func(c *cobra.Command, args []string) error {
			r, err := workshop.ParseRole(role)
			if err != nil {
				return usagef("--role: %v", err)
			}
			return a.withPassword(c.Context(), func(ctx context.Context, shop *workshop.Shop, password string) error {
				if err := shop.AddPerson(ctx, args[0], r, password); err != nil {
					return err
				}
				a.say("%s can sign in as %s", args[0], r)
				return nil
			})
		},
	}
	c.Flags().StringVar(&role, "role", "", "owner, lead, winder or bookkeeper")
	return c
}

func (a *app) userPassword() *cobra.Command {
	return &cobra.Command{
		Use:   "password NAME",
		Short: "Give a person a new password and end their sessions; it is asked for, or read from standard input",
		Args:  takes(1, 1, "one name"),
		RunE: func(c *cobra.Command, args []string) error {
			return a.withPassword(c.Context(), func(ctx context.Context, shop *workshop.Shop, password string) error {
				if err := shop.SetPassword(ctx, args[0], password); err != nil {
					return err
				}
				a.say("%s signs in with the new password", args[0])
				return nil
			})
		},
	}
}

// withPassword opens the shop, so that a database that is not there is told before anything is typed, and asks for a password.
func (a *app) withPassword(ctx context.Context, do func(context.Context, *workshop.Shop, string) error) error {
	return a.withShop(ctx, func(ctx context.Context, shop *workshop.Shop) error {
		password, err := a.askPassword(ctx)
		if err != nil {
			return err
		}
		return do(ctx, shop, password)
	})
}

func (a *app) userRole() *cobra.Command {
	var role string
	c := &cobra.Command{
		Use:   "role NAME --role ROLE",
		Short: "Give a person another role",
		Args:  takes(1, 1, "one name"),
		RunE: func(c *cobra.Command, args []string) error {
			r, err := workshop.ParseRole(role)
			if err != nil {
				return usagef("--role: %v", err)
			}
			return a.onPerson(c.Context(), args[0], func(ctx context.Context, shop *workshop.Shop) error { return shop.ChangeRole(ctx, args[0], r) }, string(r))
		},
	}
	c.Flags().StringVar(&role, "role", "", "owner, lead, winder or bookkeeper")
	return c
}

func (a *app) userAct(name, short string, act func(*workshop.Shop, context.Context, string) error) *cobra.Command {
	return &cobra.Command{
		Use:   name + " NAME",
		Short: short,
		Args:  takes(1, 1, "one name"),
		RunE: func(c *cobra.Command, args []string) error {
			return a.onPerson(c.Context(), args[0], func(ctx context.Context, shop *workshop.Shop) error { return act(shop, ctx, args[0]) }, name)
		},
	}
}

func (a *app) onPerson(ctx context.Context, name string, do func(context.Context, *workshop.Shop) error, now string) error {
	return a.withShop(ctx, func(ctx context.Context, shop *workshop.Shop) error {
		if err := do(ctx, shop); err != nil {
			return err
		}
		a.say("%s is now %s", name, now)
		return nil
	})
}

// userDoc is a person in the JSON list.
type userDoc struct {
	Name    string        `json:"name"`
	Role    workshop.Role `json:"role"`
	AddedAt time.Time     `json:"added_at"`
	OffAt   *time.Time    `json:"off_at"` // null while they may sign in
}

func (a *app) userList() *cobra.Command {
	c := &cobra.Command{
		Use:   "list",
		Short: "Who can sign in",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				people, err := shop.People(ctx)
				if err != nil {
					return err
				}
				docs := make([]userDoc, len(people))
				for i, m := range people {
					docs[i] = userDoc{Name: m.Name, Role: m.Role, AddedAt: m.AddedAt}
					since := "since " + m.AddedAt.In(shop.Zone).Format("2006-01-02")
					if m.Off() {
						docs[i].OffAt = &m.OffAt
						since = "off since " + m.OffAt.In(shop.Zone).Format("2006-01-02")
					}
					a.say("%-24s %-10s %s", m.Name, m.Role, since)
				}
				if a.json {
					return a.printJSON(map[string]any{"people": docs})
				}
				if len(people) == 0 {
					a.say("nobody yet; windingroom user add NAME --role owner lets the first one in")
				}
				return nil
			})
		},
	}
	a.jsonFlag(c)
	return c
}
