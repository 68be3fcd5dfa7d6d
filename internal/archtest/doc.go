// Package archtest checks the shape of the program: which package may import which, what stays out of the pure ones, that
// every package says what it is for, and that both databases have the same migrations. It holds tests only; the rules
// stand as data in rules_test.go.
package archtest
