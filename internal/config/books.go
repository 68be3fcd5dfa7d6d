package config

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"unicode"
)

// checkBooks looks at the accounts.
func (c Config) checkBooks() error {
	var faults []error
	accounts := reflect.ValueOf(c.Books.Accounts)
	for i := range accounts.NumField() {
		code := accounts.Field(i).String()
		if strings.TrimSpace(code) == "" || len(code) > 40 || strings.ContainsFunc(code, unicode.IsControl) {
			faults = append(faults, fmt.Errorf("books: accounts: %s: %q is not an account's code of up to 40 characters", accounts.Type().Field(i).Tag.Get("yaml"), code))
		}
	}
	return errors.Join(faults...)
}
