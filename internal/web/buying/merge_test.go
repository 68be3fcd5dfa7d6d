package buying

import (
	"reflect"
	"strings"
	"testing"
)

// sheet reads "W packs price, …".
func sheet(text string) (w written) {
	for _, part := range strings.Split(text, ", ") {
		if f := strings.Fields(part); len(f) == 3 {
			w.lines = append(w.lines, writtenLine{f[0], f[1], f[2]})
		}
	}
	return w
}

func TestMergeLosesNothing(t *testing.T) {
	for _, tt := range []struct {
		name, typed, seen, now, want string
		told                         []string
	}{
		{"nobody changed", "A 1 5", "A 1 5", "A 1 5", "A 1 5", nil},
		{"only I", "A 2 5", "A 1 5", "A 1 5", "A 2 5", nil},
		{"only the other", "A 1 5", "A 1 5", "A 3 5", "A 3 5", []string{"A: packs was 1 and is now 3"}},
		{"both, apart", "A 2 5, B 1 5", "A 1 5, B 1 5", "A 1 5, B 4 5", "A 2 5, B 4 5", []string{"B: packs was 1 and is now 4"}},
		{"both the same field", "A 2 5", "A 1 5", "A 3 5", "A 2 5", []string{"A: packs was 1 and is now 3"}},
		{"both one line, apart", "A 2 5", "A 1 5", "A 1 6", "A 2 6", []string{"A: price per kg was 5 and is now 6"}},
		{"the other added", "A 1 5", "A 1 5", "A 1 5, B 1 7", "A 1 5, B 1 7", []string{"B was added with 1 pack"}},
		{"both added", "A 1 5, B 2 7", "A 1 5", "A 1 5, B 1 7", "A 1 5, B 2 7", []string{"B was added with 1 pack"}},
		{"the other took out what I left alone", "A 1 5, B 1 5", "A 1 5, B 1 5", "A 1 5", "A 1 5", []string{"B was taken out"}},
		{"the other took out what I changed", "A 1 5, B 2 5", "A 1 5, B 1 5", "A 1 5", "A 1 5, B 2 5", []string{"B was taken out"}},
		{"I took out what the other changed", "A 1 5", "A 1 5, B 1 5", "A 1 5, B 4 5", "A 1 5", []string{"B, which you took out, is now 4 packs at 5 per kg"}},
		{"spelled otherwise", "a 1 5", "A 1 5", "A 2 5", "a 2 5", []string{"a: packs was 1 and is now 2"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, told := merge(sheet(tt.typed), sheet(tt.seen), sheet(tt.now))
			if !reflect.DeepEqual(got.lines, sheet(tt.want).lines) || !reflect.DeepEqual(told, tt.told) {
				t.Errorf("gives %v and tells %q", got.lines, told)
			}
		})
	}
}
