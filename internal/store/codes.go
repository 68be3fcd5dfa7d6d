package store

import (
	"fmt"
	"strings"

	"windingroom/internal/workshop"
)

// kept gives the spelling under which each item's code is kept, which is the one that was entered first. Codes that are not
// there are missing from the answer.
func kept[T any, C ~string](t *tx, table string, items []T, codeOf func(T) C) (map[C]C, error) {
	byLower := map[string]C{}
	lower := make([]string, 0, len(items))
	for _, item := range items {
		lower = append(lower, strings.ToLower(string(codeOf(item))))
	}
	err := chunks(lower, func(part []string) error {
		codes, err := list[C](&t.reader, "SELECT code FROM "+table+" WHERE lower(code) IN ?", part)
		for _, code := range codes {
			byLower[strings.ToLower(string(code))] = code
		}
		return err
	})
	as := make(map[C]C, len(items))
	for _, item := range items {
		code := codeOf(item)
		if found, ok := byLower[strings.ToLower(string(code))]; ok {
			as[code] = found
		}
	}
	return as, err
}

// refuseTaken fails with workshop.ErrExists, naming the first code that is there already.
func refuseTaken[T any, C ~string](t *tx, what, table string, items []T, codeOf func(T) C) error {
	as, err := kept(t, table, items, codeOf)
	if err != nil {
		return err
	}
	for _, item := range items {
		if found, ok := as[codeOf(item)]; ok {
			return fmt.Errorf("%s %s: %w", what, found, workshop.ErrExists)
		}
	}
	return nil
}

// named says which thing an error is about.
func named[C ~string](what string, code C, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%s %s: %w", what, code, err)
}
