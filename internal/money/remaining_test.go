package money

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// issueCosts draws the issues one after another from a lot and gives the cost of each, and what stays on the lot.
func issueCosts(cost Minor, whole int64, issues []int64) (costs []Minor, stays Minor) {
	left, stays := whole, cost
	for _, issue := range issues {
		left -= issue
		now := Remaining(cost, left, whole)
		costs = append(costs, stays-now)
		stays = now
	}
	return costs, stays
}

// Expected values worked out by hand from t(c) = ⌊(2Cc + Q)/(2Q)⌋, c the mass issued so far: cumulative rounding of a lot of
// cost C and mass Q.
func TestRemaining(t *testing.T) {
	tests := []struct {
		name   string
		cost   Minor
		whole  int64 // mg
		issues []int64
		want   []Minor
	}{
		{"three thirds", 1000, 3, []int64{1, 1, 1}, []Minor{333, 334, 333}},
		{"seven sevenths", 100, 7, []int64{1, 1, 1, 1, 1, 1, 1}, []Minor{14, 15, 14, 14, 14, 15, 14}},
		{"a pound of wire", 12_345, 453_592, []int64{7_300, 7_300, 7_300, 31_111, 400_581}, []Minor{199, 198, 199, 847, 10_902}},
		{"a lot that cost nothing", 0, 10, []int64{4, 6}, []Minor{0, 0}},
		{"one cent over many", 1, 4, []int64{1, 1, 1, 1}, []Minor{0, 0, 1, 0}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, stays := issueCosts(tt.cost, tt.whole, tt.issues)
			if !slices.Equal(got, tt.want) || stays != 0 {
				t.Errorf("got %v and %d left, want %v and 0", got, stays, tt.want)
			}
		})
	}
}

func TestRemainingLosesNoUnit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cost := Minor(rapid.Int64Range(0, maxMinor).Draw(t, "cost"))
		whole := rapid.Int64Range(1, 1_000_000_000_000).Draw(t, "whole")
		issues, left := []int64{}, whole
		for range rapid.IntRange(0, 30).Draw(t, "splits") {
			issue := rapid.Int64Range(0, left).Draw(t, "issue")
			issues, left = append(issues, issue), left-issue
		}
		issues = append(issues, left)
		costs, stays := issueCosts(cost, whole, issues)
		if stays != 0 {
			t.Errorf("an empty lot carries %d", stays)
		}
		var sum Minor
		for i, c := range costs {
			sum += c
			if c < 0 {
				t.Errorf("issue %d of %d mg costs %d", i, issues[i], c)
			}
			if exact := Share(cost, issues[i], whole); c < exact-1 || c > exact+1 {
				t.Errorf("issue %d of %d mg costs %d, more than a unit from its share %d", i, issues[i], c, exact)
			}
		}
		if sum != cost {
			t.Errorf("issues cost %d together, want %d", sum, cost)
		}
	})
}

// A draw reversed at once gives the same cost back, and what stays does not depend on how the draws were split.
func TestRemainingDependsOnlyOnWhatIsLeft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cost := Minor(rapid.Int64Range(0, maxMinor).Draw(t, "cost"))
		whole := rapid.Int64Range(2, 1_000_000_000_000).Draw(t, "whole")
		first := rapid.Int64Range(0, whole).Draw(t, "first")
		second := rapid.Int64Range(0, whole-first).Draw(t, "second")
		if _, split := issueCosts(cost, whole, []int64{first, second}); split != Remaining(cost, whole-first-second, whole) {
			t.Errorf("split draws leave %d", split)
		}
		costs, stays := issueCosts(cost, whole, []int64{first, second, -second})
		if costs[1] != -costs[2] || stays != Remaining(cost, whole-first, whole) {
			t.Errorf("a draw of %d was reversed at %d", costs[1], costs[2])
		}
	})
}
