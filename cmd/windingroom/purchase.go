package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"windingroom/exports"
	"windingroom/internal/api"
	"windingroom/internal/calendar"
	"windingroom/internal/intake"
	"windingroom/internal/purchase"
	"windingroom/internal/workshop"
)

// purchase gathers the commands of buying.
func (a *app) purchase() *cobra.Command {
	c := &cobra.Command{
		Use:   "purchase",
		Short: "Propose, change, send, receive, close or cancel a purchase of wire; list them; set a wire's terms",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return usagef("purchase takes list, show, propose, add, change, send, receive, close, cancel or terms")
		},
	}
	c.AddCommand(a.purchaseList(), a.purchaseShow(), a.purchasePropose(), a.purchaseAdd(), a.purchaseChange(), a.purchaseSend(), a.purchaseReceive(),
		a.purchaseEnd("close", "Say that no more will come of a purchase", (*workshop.Shop).ClosePurchase),
		a.purchaseEnd("cancel", "Take back a purchase of which nothing came", (*workshop.Shop).CancelPurchase), a.terms())
	return c
}

func (a *app) purchaseList() *cobra.Command {
	var all bool
	c := &cobra.Command{
		Use:   "list",
		Short: "List the purchases that are proposed or still to come",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				list, err := shop.Purchases(ctx, workshop.PurchaseFilter{OpenOnly: !all})
				if err != nil {
					return err
				}
				return a.printPurchases(list)
			})
		},
	}
	c.Flags().BoolVar(&all, "all", false, "also those closed or cancelled")
	a.jsonFlag(c)
	return c
}

func (a *app) purchasePropose() *cobra.Command {
	var date, supplier string
	c := &cobra.Command{
		Use:   "propose",
		Short: "Turn what a night asks for into proposals, one for each supplier; what a person has changed stays",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			night, err := optionalDay("night", date)
			if err != nil {
				return err
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				list, err := shop.ProposePurchases(ctx, night, supplier)
				if err != nil {
					return err
				}
				return a.printPurchases(list)
			})
		},
	}
	c.Flags().StringVar(&date, "night", "", "the night's day, YYYY-MM-DD (default the last night)")
	c.Flags().StringVar(&supplier, "supplier", "", "from this supplier only")
	a.jsonFlag(c)
	return c
}

// optionalDay reads a flag that may be left out.
func optionalDay(flag, text string) (calendar.Date, error) {
	if text == "" {
		return 0, nil
	}
	return day(flag, text)
}

func (a *app) purchaseShow() *cobra.Command {
	var out string
	c := &cobra.Command{
		Use:   "show PURCHASE",
		Short: "Show a purchase with what came of it; --out writes the supplier's spreadsheet",
		Args:  takes(1, 1, "one purchase"),
		RunE: a.onPurchase(&out, func(ctx context.Context, s *workshop.Shop, code purchase.Code) (workshop.PurchaseStory, error) {
			return s.Purchase(ctx, code)
		}),
	}
	c.Flags().StringVar(&out, "out", "", "write the supplier's spreadsheet")
	a.jsonFlag(c)
	return c
}

// onPurchase runs an act on the purchase that is named, prints it, and writes its spreadsheet where *out names a file.
func (a *app) onPurchase(out *string, act func(context.Context, *workshop.Shop, purchase.Code) (workshop.PurchaseStory, error)) func(*cobra.Command, []string) error {
	return func(c *cobra.Command, args []string) error {
		return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
			code := purchase.Code("")
			if len(args) > 0 {
				code = purchase.Code(args[0])
			}
			p, err := act(ctx, shop, code)
			if err != nil {
				return err
			}
			if *out != "" {
				var book bytes.Buffer
				if err := exports.PurchaseOrder(&book, p); err != nil {
					return err
				}
				if err := writeWhole(*out, book.Bytes()); err != nil {
					return err
				}
			}
			if a.json {
				return a.printJSON(api.PurchaseBody(p))
			}
			a.printPurchase(p)
			if *out != "" {
				a.say("wrote the purchase to %s", *out)
			}
			return nil
		})
	}
}

func (a *app) purchaseAdd() *cobra.Command {
	var f purchaseForm
	var out string
	c := &cobra.Command{
		Use:   "add --supplier SUPPLIER --line WIRE=PACKS",
		Short: "Make a purchase of your own; without lines, of what the last night asks for from the supplier",
		Args:  noArgs,
	}
	c.RunE = a.onPurchase(&out, func(ctx context.Context, s *workshop.Shop, _ purchase.Code) (workshop.PurchaseStory, error) {
		if err := f.read(); err != nil {
			return workshop.PurchaseStory{}, err
		}
		p, err := s.AddPurchase(ctx, f.form)
		if err != nil {
			return p, err
		}
		return p, a.remark(ctx, s, p, f.form.Lines)
	})
	c.Flags().StringVar(&f.form.Supplier, "supplier", "", "from whom")
	c.Flags().StringVar(&f.form.Key, "key", "", "the same key makes one purchase")
	f.flags(c)
	a.jsonFlag(c)
	return c
}

func (a *app) purchaseChange() *cobra.Command {
	var f purchaseForm
	var version int
	var out string
	c := &cobra.Command{
		Use:   "change PURCHASE --version N",
		Short: "Change a purchase, as it was when it had that version; what no flag names stays, --line WIRE=0 takes a wire off",
		Args:  takes(1, 1, "one purchase"),
	}
	c.RunE = a.onPurchase(&out, func(ctx context.Context, s *workshop.Shop, code purchase.Code) (workshop.PurchaseStory, error) {
		if err := f.read(); err != nil {
			return workshop.PurchaseStory{}, err
		}
		if version < 1 {
			return workshop.PurchaseStory{}, usagef("--version: name the version that purchase show printed")
		}
		named := f.form.Lines
		if err := f.onto(ctx, s, code); err != nil {
			return workshop.PurchaseStory{}, err
		}
		p, err := s.ChangePurchase(ctx, code, version, f.form)
		if err != nil {
			return p, err
		}
		return p, a.remark(ctx, s, p, named)
	})
	c.Flags().IntVar(&version, "version", 0, "the version that was seen")
	f.flags(c)
	a.jsonFlag(c)
	return c
}

func (a *app) purchaseSend() *cobra.Command {
	var ordered, promised, reason, out string
	var confirmed bool
	c := &cobra.Command{
		Use:   "send PURCHASE",
		Short: "Note that a purchase has gone to its supplier: its wire is on order; --out writes the spreadsheet to send",
		Args:  takes(1, 1, "one purchase"),
	}
	c.RunE = a.onPurchase(&out, func(ctx context.Context, s *workshop.Shop, code purchase.Code) (workshop.PurchaseStory, error) {
		how := workshop.Sending{Confirmed: confirmed, Reason: reason}
		var err error
		if how.OrderedOn, err = optionalDay("on", ordered); err != nil {
			return workshop.PurchaseStory{}, err
		}
		if how.PromisedOn, err = optionalDay("promised", promised); err != nil {
			return workshop.PurchaseStory{}, err
		}
		return s.SendPurchase(ctx, code, how)
	})
	c.Flags().StringVar(&ordered, "on", "", "the day it was ordered, YYYY-MM-DD (default today)")
	c.Flags().StringVar(&promised, "promised", "", "the supplier's day, YYYY-MM-DD")
	c.Flags().BoolVar(&confirmed, "confirm", false, "send it although its lines stay below the supplier's minimum; --reason says why")
	c.Flags().StringVar(&reason, "reason", "", "why it is sent below the minimum")
	c.Flags().StringVar(&out, "out", "", "write the supplier's spreadsheet")
	a.jsonFlag(c)
	return c
}

func (a *app) purchaseEnd(name, short string, end func(*workshop.Shop, context.Context, purchase.Code, string) (workshop.PurchaseStory, error)) *cobra.Command {
	var reason, out string
	c := &cobra.Command{Use: name + " PURCHASE", Short: short, Args: takes(1, 1, "one purchase")}
	c.RunE = a.onPurchase(&out, func(ctx context.Context, s *workshop.Shop, code purchase.Code) (workshop.PurchaseStory, error) {
		return end(s, ctx, code, reason)
	})
	c.Flags().StringVar(&reason, "reason", "", "why, in a few words")
	a.jsonFlag(c)
	return c
}

func (a *app) purchaseReceive() *cobra.Command {
	var invoice intake.Invoice
	var delivery string
	var complete bool
	c := &cobra.Command{
		Use:   "receive PURCHASE FILE.csv",
		Short: "Receive spools that came for a purchase, all of them or nothing; the file is that of windingroom receive",
		Args:  takes(2, 2, "a purchase and a file"),
		RunE: func(c *cobra.Command, args []string) error {
			file, err := os.Open(args[1])
			if err != nil {
				return usage(err)
			}
			spools, _ := intake.ReadDelivery(file, filepath.Base(args[1])) // Receive tells these problems with its own
			if err := file.Close(); err != nil {
				return err
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				r, err := shop.ReceivePurchase(ctx, purchase.Code(args[0]), spools, invoice, delivery, complete)
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.PurchaseDeliveryBody(r))
				}
				if r.Before {
					a.say("nothing to change: everything is already here")
				}
				a.printPurchase(r.Purchase)
				return nil
			})
		},
	}
	c.Flags().StringVar(&invoice.Cost, "cost", "", "what all the wire cost; without it every row has its own cost")
	c.Flags().StringVar(&invoice.Freight, "freight", "", "what the carriage cost, on top")
	c.Flags().StringVar(&delivery, "delivery", "", "code of the delivery (one is made up)")
	c.Flags().BoolVar(&complete, "complete", false, "no more will come: the purchase is closed")
	a.jsonFlag(c)
	return c
}

func (a *app) printPurchases(list []workshop.PurchaseStory) error {
	if a.json {
		return a.printJSON(api.PurchasesBody(list))
	}
	for _, p := range list {
		a.printPurchase(p)
	}
	if len(list) == 0 {
		a.say("no purchases")
	}
	return nil
}

func (a *app) printPurchase(p workshop.PurchaseStory) {
	due := ""
	if p.Open() {
		due = ", due " + p.DueOn().String()
	}
	a.say("%s  %s  from %s, version %d%s: %s %s", p.Code, p.Status, p.Supplier, p.Version, due, p.Currency.Text(p.Total()), p.Currency)
	for _, l := range p.Lines {
		a.say("  %-14s %9s %10s kg at %8s  %10s  came %10s kg", l.Wire, workshop.Count(l.Packs, "pack", "packs"), l.Mass.KilogramText(), p.Currency.Text(l.PricePerKg),
			p.Currency.Text(l.Cost()), l.Received.KilogramText())
	}
	if len(p.Receipts) > 0 {
		a.say("  price difference of what came: %s %s", p.Currency.Text(p.Difference()), p.Currency)
	}
}
