package page

import "testing"

func TestFileNamesStayNames(t *testing.T) {
	for name, want := range map[string]string{
		"books-2026-02.xlsx":                   "books-2026-02.xlsx",
		"a\"; filename=\"b.exe":                "a filename=b.exe",
		"a\r\nSet-Cookie: windingroom=planted": "aSet-Cookie windingroom=planted",
		"../../etc/passwd":                     "....etcpasswd",
		`..\boot.ini`:                          "..boot.ini",
		"naïve.xlsx":                           "nave.xlsx",
	} {
		if got := kept(name); got != `attachment; filename="`+want+`"` {
			t.Errorf("%q is kept as %s", name, got)
		}
	}
}
