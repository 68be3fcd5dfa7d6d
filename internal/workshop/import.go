package workshop

import (
	"context"
	"fmt"
	"io/fs"
	"strings"

	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/stock"
)

// Import takes over a folder of import files, all of it or nothing; with checkOnly it only says what it would do. The
// same folder a second time changes nothing. Only a lead, a bookkeeper or an owner may. The error is intake.Problems when
// rows are wrong.
func (s *Shop) Import(ctx context.Context, folder fs.FS, checkOnly bool) (ImportReport, error) {
	p, err := allow(ctx, "importing", Lead, Bookkeeper)
	if err != nil {
		return ImportReport{}, err
	}
	files, problems := intake.Read(folder)
	if files == nil {
		return ImportReport{}, problems
	}
	report := ImportReport{Checked: checkOnly}
	resolve := func(r Reader) (intake.Facts, error) {
		known, err := knownTo(r)
		if err != nil {
			return intake.Facts{}, err
		}
		facts, problems := files.Facts(known)
		if len(problems) > 0 {
			return intake.Facts{}, problems
		}
		report.Counts, report.Ignored, report.Unsaid = facts.Counts, files.Ignored, nil
		for _, a := range facts.Alloys {
			if a.Nickel == material.Unsaid {
				report.Unsaid = append(report.Unsaid, string(a.Code))
			}
		}
		return facts, inOpenMonths(r, facts.Spools)
	}
	if checkOnly {
		err = s.Store.Read(ctx, func(r Reader) error {
			_, err := resolve(r)
			return err
		})
		return report, err
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		facts, err := resolve(tx)
		if err != nil || !report.Changes() {
			return err
		}
		if err := save(tx, facts); err != nil {
			return err
		}
		if err := s.receive(tx, p, facts.Spools, "import"); err != nil {
			return err
		}
		if err := s.promiseNew(tx, p, facts.Orders, facts.Spools); err != nil {
			return err
		}
		if err := s.giveFinished(tx, p, recipesOf(facts.Orders...)); err != nil {
			return err
		}
		return tx.Record(s.audit(p, "import", "folder", report.String()))
	})
	return report, err
}

// inOpenMonths refuses spools that were received in a closed month, so that a mere check says it, too.
func inOpenMonths(r Reader, spools []stock.Spool) error {
	periods, err := r.Periods()
	if err != nil || len(periods) == 0 {
		return err
	}
	last := periods[len(periods)-1].Month
	for _, s := range spools {
		if s.ReceivedOn <= last.Last() {
			return fmt.Errorf("spool %s was received on %s, and the books are closed up to %s: receive it with a day after that: %w", s.Code, s.ReceivedOn, last, ErrClosed)
		}
	}
	return nil
}

// knownTo gathers what the files may refer to and what they may repeat.
func knownTo(r Reader) (known intake.Known, err error) {
	alloys, err := allAlloys(r)
	if err != nil {
		return known, err
	}
	known.Alloys = alloys.List()
	if known.Practice, err = r.Practice(); err != nil {
		return known, err
	}
	if known.Suppliers, err = r.Suppliers(); err != nil {
		return known, err
	}
	if known.Wires, err = r.Wires(); err != nil {
		return known, err
	}
	if known.Recipes, err = r.Recipes(); err != nil {
		return known, err
	}
	if known.Sets, err = r.Sets(); err != nil {
		return known, err
	}
	if known.Machines, err = r.Machines(); err != nil {
		return known, err
	}
	if known.Orders, err = r.Orders(OrderFilter{}); err != nil {
		return known, err
	}
	balances, err := r.Spools()
	if err != nil {
		return known, err
	}
	for _, b := range balances {
		known.Spools = append(known.Spools, b.Spool)
	}
	known.Usage, err = r.UsageKeys()
	return known, err
}

// allAlloys gives the built-in alloys with the shop's own added or in their place.
func allAlloys(r Reader) (material.Alloys, error) {
	own, err := r.Alloys()
	if err != nil {
		return material.Alloys{}, err
	}
	return material.NewAlloys(material.BuiltIn()...).With(own...), nil
}

// save writes everything but the spools, in the order in which one refers to the other.
func save(tx Tx, f intake.Facts) error {
	if f.Practice != nil {
		if err := tx.SavePractice(*f.Practice); err != nil {
			return err
		}
	}
	for _, step := range []func() error{
		func() error { return tx.SaveAlloys(f.Alloys) },
		func() error { return tx.SaveSuppliers(f.Suppliers) },
		func() error { return tx.SaveWires(f.Wires) },
		func() error { return tx.SaveRecipes(f.Recipes) },
		func() error { return tx.SaveSets(f.Sets) },
		func() error { return tx.SaveMachines(f.Machines) },
		func() error { return tx.AddOrders(f.Orders) },
		func() error { return tx.AddUsage(f.Usage) },
	} {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}

// receive adds spools and posts their receipts, effective on the day each was received.
func (s *Shop) receive(tx Tx, p Person, spools []stock.Spool, source string) error {
	if len(spools) == 0 {
		return nil
	}
	if err := tx.AddSpools(spools); err != nil {
		return err
	}
	receipts := make([]stock.Movement, len(spools))
	for i, spool := range spools {
		receipts[i] = stock.Movement{
			Spool: spool.Code, Kind: stock.Receipt, Mass: spool.Net(), Cost: spool.Cost,
			EffectiveOn: spool.ReceivedOn, EffectiveAt: s.instant(spool.ReceivedOn, opening), PostedAt: s.Now().UTC(), Person: p.Name,
			Reason: "received", Source: source, Key: "receipt " + string(spool.Code),
		}
	}
	_, err := tx.Post(receipts)
	return err
}

// ImportReport says what an import did, or, when only checked, would do.
type ImportReport struct {
	Checked bool
	Counts  []intake.Count // by file
	Unsaid  []string       // alloys, new or changed, of which nobody says whether there is nickel at their surface
	Ignored []string       // CSV files whose names are none of the import files
}

// Changes says whether anything was added or changed.
func (r ImportReport) Changes() bool {
	for _, c := range r.Counts {
		if c.Added+c.Changed > 0 {
			return true
		}
	}
	return false
}

// String says it in one line.
func (r ImportReport) String() string {
	if !r.Changes() {
		return "nothing changed: everything was already here"
	}
	var parts []string
	for _, c := range r.Counts {
		parts = append(parts, fmt.Sprintf("%s %d added, %d changed, %d already here", c.File, c.Added, c.Changed, c.Unchanged))
	}
	return strings.Join(parts, "; ")
}
