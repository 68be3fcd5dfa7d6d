package main

import (
	"context"
	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/workshop"
)

func (a *app) jobs() *cobra.Command {
	var most int
	c := &cobra.Command{
		Use:   "jobs",
		Short: "How the last runs of the nightly jobs went",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				runs, err := shop.JobRuns(ctx, most)
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.JobsBody(runs))
				}
				for _, r := range runs {
					a.say("%s  %-14s %-8s began %s  %s", r.Day, r.Job, r.Outcome, r.StartedAt.In(shop.Zone).Format("2006-01-02 15:04"), r.Found)
				}
				if len(runs) == 0 {
					a.say("no job has run yet; windingroom serve runs them")
				}
				return nil
			})
		},
	}
	c.Flags().IntVar(&most, "most", 7, "how many of each job")
	a.jsonFlag(c)
	return c
}
