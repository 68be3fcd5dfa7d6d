package main

import (
	"context"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/intake"
	"windingroom/internal/workshop"
)

func (a *app) receive() *cobra.Command {
	var invoice intake.Invoice
	var code string
	c := &cobra.Command{
		Use:   "receive FILE.csv",
		Short: "Receive a delivery of spools, all of them or nothing",
		Long: "Receive a delivery of spools, all of them or nothing. The columns are those of spools.csv; received_on (today), tare_g (that of\n" +
			"the column spool_type), cost and location may be left out. One cost for the whole delivery and its freight are split over the\n" +
			"spools by net mass. The same delivery a second time changes nothing.",
		Args: takes(1, 1, "one file"),
		RunE: func(c *cobra.Command, args []string) error {
			file, err := os.Open(args[0])
			if err != nil {
				return usage(err)
			}
			delivery, _ := intake.ReadDelivery(file, filepath.Base(args[0])) // Receive tells these problems with its own
			if err := file.Close(); err != nil {
				return err
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				r, err := shop.ReceiveDelivery(ctx, delivery, invoice, code)
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.DeliveryBody(r))
				}
				for _, b := range r.Spools {
					a.say("%-12s %-14s %-14s %12.3f g %12s", b.Code, b.Wire, b.Lot, b.Net().Grams(), r.Currency.Text(b.Cost))
				}
				if r.Before {
					a.say("nothing to change: everything is already here")
					return nil
				}
				a.say("received as %s: %s for %s %s and %s freight", r.Delivery, counted(len(r.Spools), "spool", "spools"), r.Currency.Text(r.Cost), r.Currency, r.Currency.Text(r.Freight))
				return nil
			})
		},
	}
	c.Flags().StringVar(&invoice.Cost, "cost", "", "what all the wire cost; without it every row has its own cost")
	c.Flags().StringVar(&invoice.Freight, "freight", "", "what the carriage cost, on top")
	c.Flags().StringVar(&code, "delivery", "", "code of the delivery (one is made up)")
	a.jsonFlag(c)
	return c
}
