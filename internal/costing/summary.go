package costing

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// Summarise makes one line for each day, account and side of journal lines, in that order, debits first: what a general ledger takes where the
// lines themselves stand beside it. Both balance alike. Source lists the sources of the lines, the first few by name.
func Summarise(detail []JournalLine) []JournalLine {
	type key struct {
		line   JournalLine // day and account alone
		credit bool
	}
	sums := map[key]*JournalLine{}
	sources := map[key][]string{}
	counts := map[key]int{}
	for _, l := range detail {
		k := key{JournalLine{Date: l.Date, Account: l.Account}, l.Credit > 0}
		if sums[k] == nil {
			sums[k] = &JournalLine{Date: l.Date, Account: l.Account}
		}
		sums[k].Debit, sums[k].Credit = sums[k].Debit+l.Debit, sums[k].Credit+l.Credit
		sources[k] = append(sources[k], l.Source)
		counts[k]++
	}
	keys := slices.SortedFunc(maps.Keys(sums), func(a, b key) int {
		side := 0
		if a.credit != b.credit {
			if side = -1; a.credit {
				side = 1
			}
		}
		return cmp.Or(cmp.Compare(a.line.Date, b.line.Date), cmp.Compare(a.line.Account, b.line.Account), side)
	})
	out := make([]JournalLine, len(keys))
	for i, k := range keys {
		out[i] = *sums[k]
		out[i].Text, out[i].Source = fmt.Sprintf("%d lines", counts[k]), sourcesOf(sources[k])
		if counts[k] == 1 {
			out[i].Text = "1 line"
		}
	}
	return out
}

// sourcesOf names the first few sources, each once.
func sourcesOf(list []string) string {
	const most = 5
	slices.Sort(list)
	list = slices.Compact(list)
	if len(list) <= most {
		return strings.Join(list, ", ")
	}
	return fmt.Sprintf("%s, %d more", strings.Join(list[:most], ", "), len(list)-most)
}
