package store

import (
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/workshop"
)

type issueRow struct {
	Batch    batch.Code
	Version  int
	Hash     []byte
	IssuedAt time.Time
	IssuedBy string
}

// LastIssues gives the last issue of each of some batches' sheets.
func (r *reader) LastIssues(codes []batch.Code) (map[batch.Code]workshop.SheetIssue, error) {
	last := map[batch.Code]workshop.SheetIssue{}
	err := chunks(codes, func(part []batch.Code) error {
		rows, err := list[issueRow](r, `SELECT i.* FROM sheet_issues i
			JOIN (SELECT batch, max(version) AS version FROM sheet_issues WHERE batch IN ? GROUP BY batch) l
				ON l.batch = i.batch AND l.version = i.version`, part)
		for _, row := range rows {
			last[row.Batch] = workshop.SheetIssue{Batch: row.Batch, Version: row.Version, Hash: row.Hash, At: row.IssuedAt.UTC(), By: row.IssuedBy}
		}
		return err
	})
	return last, err
}

// IssueSheets notes that sheets were issued.
func (t *tx) IssueSheets(issues []workshop.SheetIssue) error {
	return insert(t, "sheet_issues", "batch, version, hash, issued_at, issued_by", issues, func(i workshop.SheetIssue) []any {
		return []any{i.Batch, i.Version, i.Hash, instant(i.At), i.By}
	})
}
