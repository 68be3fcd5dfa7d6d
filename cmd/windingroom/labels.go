package main

import (
	"bytes"
	"context"
	"slices"

	"github.com/spf13/cobra"

	"windingroom/exports"
	"windingroom/internal/purchase"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

func (a *app) labels() *cobra.Command {
	var code, delivery, out string
	c := &cobra.Command{
		Use:   "labels SPOOL... --out FILE.xlsx",
		Short: "Write labels to stick on spools, or on all of a delivery or purchase",
		RunE: func(c *cobra.Command, args []string) error {
			switch {
			case out == "":
				return usagef("--out is missing: the workbook to write, such as labels.xlsx")
			case len(slices.DeleteFunc([]bool{code != "", delivery != "", len(args) > 0}, func(named bool) bool { return !named })) != 1:
				return usagef("labels takes spools, or --delivery or --purchase and its code")
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				var labels []workshop.SpoolLabel
				var err error
				switch {
				case code != "":
					labels, err = shop.PurchaseLabels(ctx, purchase.Code(code))
				case delivery != "":
					labels, err = shop.DeliveryLabels(ctx, delivery)
				default:
					codes := make([]stock.SpoolCode, len(args))
					for i, arg := range args {
						codes[i] = stock.SpoolCode(arg)
					}
					labels, err = shop.SpoolLabels(ctx, codes)
				}
				if err != nil {
					return err
				}
				var book bytes.Buffer
				if err := exports.SpoolLabels(&book, labels); err != nil {
					return err
				}
				if err := writeWhole(out, book.Bytes()); err != nil {
					return err
				}
				a.say("wrote %s to %s", counted(len(labels), "label", "labels"), out)
				return nil
			})
		},
	}
	c.Flags().StringVar(&delivery, "delivery", "", "of the spools that came in this delivery")
	c.Flags().StringVar(&code, "purchase", "", "of the spools that came for this purchase")
	c.Flags().StringVar(&out, "out", "", "the workbook to write")
	return c
}
