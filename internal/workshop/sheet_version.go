package workshop

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"windingroom/internal/batch"
	"windingroom/internal/order"
)

// number gives sheets their versions and lists the issues that are new: of a batch never printed, or of one whose sheet says
// something else than the one in the bench's hand. The sheet of a finished batch stays as it was issued.
func number(r Reader, sheets []batch.Sheet) ([]SheetIssue, error) {
	codes := make([]batch.Code, len(sheets))
	for i, s := range sheets {
		codes[i] = s.Code
	}
	last, err := r.LastIssues(codes)
	if err != nil {
		return nil, err
	}
	var fresh []SheetIssue
	for i := range sheets {
		s := &sheets[i]
		issue := last[s.Code]
		hash, err := hashOf(*s)
		if err != nil {
			return nil, err
		}
		settled := issue.Version > 0 && (s.Status == batch.Finished || bytes.Equal(hash, issue.Hash))
		if s.Version = issue.Version; settled {
			continue
		}
		s.Version++
		fresh = append(fresh, SheetIssue{Batch: s.Code, Version: s.Version, Hash: hash})
	}
	return fresh, nil
}

// hashOf sums up what is printed: a sheet that says anything else than the one in the bench's hand is a new version.
func hashOf(s batch.Sheet) ([]byte, error) {
	s.Version, s.Status = 0, ""
	s.Draws = nil // they are in Spools
	s.Spools, s.For = slices.Clone(s.Spools), slices.Clone(s.For)
	for i := range s.Spools {
		sp := &s.Spools[i]
		sp.Allocated = 0 // not printed
	}
	for i := range s.For {
		if s.For[i].Status != order.Cancelled { // a sheet that winds for nobody is wrong
			s.For[i].Status = ""
		}
	}
	text, err := json.Marshal(s)
	if err != nil {
		return nil, fmt.Errorf("sheet of batch %s: %w", s.Code, err)
	}
	sum := sha256.Sum256(text)
	return sum[:], nil
}

func issueDetail(fresh []SheetIssue) string {
	parts := make([]string, len(fresh))
	for i, f := range fresh {
		parts[i] = fmt.Sprintf("%s version %d", f.Batch, f.Version)
	}
	return strings.Join(parts, ", ")
}
