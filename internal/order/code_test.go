package order

import "testing"

func TestAfter(t *testing.T) {
	for _, tt := range []struct {
		codes []Code
		want  Code
	}{
		{nil, ""}, {[]Code{"O-26-101", "O-26-140", "O-25-999"}, "O-26-141"}, {[]Code{"K009"}, "K010"}, {[]Code{"K99"}, "K100"},
		{[]Code{"K99", "k100"}, "k101"}, {[]Code{"7", "K"}, ""}, {[]Code{"A-8", "A-9", "A-10"}, "A-11"}, {[]Code{"A-99999999999999"}, ""},
	} {
		if got := After(tt.codes); got != tt.want {
			t.Errorf("after %v: %q, want %q", tt.codes, got, tt.want)
		}
	}
}
