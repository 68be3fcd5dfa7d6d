package page

import (
	"errors"
	"net/url"
	"testing"

	"windingroom/internal/problem"
	"windingroom/internal/workshop"
)

func TestRefuse(t *testing.T) {
	sent := url.Values{"quantity": {"x"}, "note": {""}}
	tests := []struct {
		name  string
		err   error
		wrong map[string]string
		other []string
		back  bool // the error is not for the form
	}{
		{"nothing", nil, nil, nil, false},
		{"a field", problem.At("quantity", errors.New("is not a number")), map[string]string{"quantity": "is not a number"}, nil, false},
		{"a field within", problem.At("lines.1.quantity", errors.New("is not a number")), map[string]string{"quantity": "is not a number"}, nil, false},
		{"a field that the form has not", problem.At("scale", errors.New("is too long")), nil, []string{"scale: is too long"}, false},
		{"no field", workshop.ErrForbidden, nil, []string{"Not allowed."}, false},
		{"no refusal", errors.New("disk"), nil, nil, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := NewForm(sent)
			if back := f.Refuse(tt.err); (back != nil) != tt.back {
				t.Errorf("gives back %v", back)
			}
			for name, want := range tt.wrong {
				if f.Wrong[name] != want {
					t.Errorf("%s is marked %q, want %q", name, f.Wrong[name], want)
				}
			}
			if len(f.Wrong) != len(tt.wrong) || len(f.Other) != len(tt.other) {
				t.Fatalf("marked %v and %v", f.Wrong, f.Other)
			}
			for i, want := range tt.other {
				if f.Other[i] != want {
					t.Errorf("says %q, want %q", f.Other[i], want)
				}
			}
		})
	}
}

func TestAPasswordIsNotShownAgain(t *testing.T) {
	f := NewForm(url.Values{"password": {"secret"}})
	if field := f.Field("password", "Password").Password("current-password"); field.Value != "" {
		t.Errorf("shows %q", field.Value)
	}
}
