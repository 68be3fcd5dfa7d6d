package promise

import (
	"fmt"
	"reflect"
	"testing"
	"time"

	"windingroom/internal/planning"
	"windingroom/internal/requirements"
)

// A key writes values out. A pointer would be written as an address, which another value may have later, so none may hide in what a key is
// made of.
func TestAKeyIsMadeOfValues(t *testing.T) {
	leftOut := map[string]bool{"Input.Bench": true, "Day.Kept": true} // written apart
	for _, of := range []any{planning.Input{}, planning.Plan{}, Day{}, Receipt{}, Asked{}, requirements.Making{}} {
		typ := reflect.TypeOf(of)
		for _, path := range pointersIn(typ, typ.Name(), map[reflect.Type]bool{}) {
			if !leftOut[path] {
				t.Errorf("%s is no value: a key would hold its address", path)
			}
		}
	}
	if got := pointersIn(reflect.TypeOf(Day{}), "Day", map[reflect.Type]bool{}); len(got) != 1 {
		t.Errorf("the pointer of a kept plan is not found: %v", got)
	}
}

// pointersIn names the parts of a type that are written as addresses.
func pointersIn(typ reflect.Type, path string, seen map[reflect.Type]bool) []string {
	if typ == reflect.TypeFor[time.Time]() || seen[typ] { // an instant is written by its own method
		return nil
	}
	switch typ.Kind() {
	case reflect.Pointer, reflect.Func, reflect.Chan, reflect.Interface, reflect.UnsafePointer:
		return []string{path}
	case reflect.Slice, reflect.Array:
		return pointersIn(typ.Elem(), path, seen)
	case reflect.Map:
		return append(pointersIn(typ.Key(), path, seen), pointersIn(typ.Elem(), path, seen)...)
	case reflect.Struct:
		seen[typ] = true
		var all []string
		for field := range typ.Fields() {
			if field.Type == reflect.TypeFor[time.Time]() && !field.IsExported() {
				all = append(all, path+"."+field.Name) // fmt does not call methods of what is hidden
			}
			all = append(all, pointersIn(field.Type, path+"."+field.Name, seen)...)
		}
		return all
	}
	return nil
}

// A shop that changed in anything is asked anew, one that did not is not.
func TestAMemoForgetsWhatChanged(t *testing.T) {
	memo, found := &Memo{}, 0
	ask := func(in planning.Input) {
		t.Helper()
		if _, err := remembered(memo, func() key { return dayKey(in, nil) }, func() (int, error) { found++; return found, nil }); err != nil {
			t.Fatal(err)
		}
	}
	in := planning.Input{Date: monday, Bench: recipes{}, Overtime: time.Minute}
	ask(in)
	ask(in)
	if found != 1 {
		t.Errorf("found %d times, want once for what is the same", found)
	}
	in.Overtime++
	ask(in)
	if found != 2 {
		t.Errorf("found %d times, want anew for what changed", found)
	}
	failed := fmt.Errorf("no day")
	for range 2 {
		if _, err := remembered(memo, func() key { return key{1} }, func() (int, error) { found++; return 0, failed }); err != failed {
			t.Errorf("error is %v, want the one of the search", err)
		}
	}
	if found != 4 {
		t.Errorf("found %d times, want an error never to be kept", found)
	}
}
