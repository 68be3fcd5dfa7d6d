package main

import "fmt"

// counted says how many: "1 string", "3 strings".
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
