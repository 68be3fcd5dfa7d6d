package workshop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// Role is what a person may do in the shop.
type Role string

// The roles.
const (
	Owner      Role = "owner"
	Lead       Role = "lead"
	Winder     Role = "winder"
	Bookkeeper Role = "bookkeeper"
)

// Roles lists them, the most able first.
func Roles() []Role { return []Role{Owner, Lead, Bookkeeper, Winder} }

// ParseRole reads a role.
func ParseRole(text string) (Role, error) {
	if r := Role(text); slices.Contains(Roles(), r) {
		return r, nil
	}
	return "", fmt.Errorf("role %q is not one of owner, lead, winder, bookkeeper", text)
}

// Person is who acts.
type Person struct {
	Name string
	Role Role
	Via  string // the door they came through, for the audit: "page", "API", "command line"
}

// ErrForbidden says that the person's role does not allow the act; ErrUnknownPerson that nobody is signed in.
var (
	ErrForbidden     = errors.New("not allowed")
	ErrUnknownPerson = errors.New("nobody is signed in")
)

type personKey struct{}

// WithPerson puts who acts into the context.
func WithPerson(ctx context.Context, p Person) context.Context {
	return context.WithValue(ctx, personKey{}, p)
}

// Acting gives who acts.
func Acting(ctx context.Context) (Person, bool) {
	p, ok := ctx.Value(personKey{}).(Person)
	return p, ok
}

// allow says whether the acting person has one of the roles; an owner may do everything.
func allow(ctx context.Context, act string, roles ...Role) (Person, error) {
	p, ok := Acting(ctx)
	if !ok {
		return Person{}, ErrUnknownPerson
	}
	if p.Role == Owner || slices.Contains(roles, p.Role) {
		return p, nil
	}
	return Person{}, fmt.Errorf("%s needs the role %s, and %s is %s: %w", act, rolesText(roles), p.Name, p.Role, ErrForbidden)
}

// rolesText lists roles for people: "lead, bookkeeper or owner". An owner may always.
func rolesText(roles []Role) string {
	var names []string
	for _, r := range roles {
		if r != Owner {
			names = append(names, string(r))
		}
	}
	if len(names) == 0 {
		return string(Owner)
	}
	return strings.Join(names, ", ") + " or " + string(Owner)
}
