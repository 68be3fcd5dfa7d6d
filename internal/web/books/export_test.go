package books

import "testing"

// EveryExportIsLong makes short exports long ones too, until the test ends.
func EveryExportIsLong(t testing.TB) {
	was := longFrom
	longFrom = 0
	t.Cleanup(func() { longFrom = was })
}
