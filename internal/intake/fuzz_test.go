package intake_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"windingroom/internal/intake"
)

// FuzzRead puts any bytes in place of one file of a sound folder. Whatever they are, nothing panics, every problem names a
// file and a line that are there and takes one line itself, and what is accepted changes nothing the second time.
func FuzzRead(f *testing.F) {
	names := intake.Files()
	for i, name := range names {
		text := []byte(shop[name])
		f.Add(byte(i), text)
		f.Add(byte(i), append([]byte("\xef\xbb\xbf"), text...))
		f.Add(byte(i), bytes.ReplaceAll(text, []byte("\n"), []byte("\r\n")))
		f.Add(byte(i), bytes.ReplaceAll(text, []byte("\n"), []byte("\r")))
		f.Add(byte(i), bytes.ReplaceAll(text, []byte(","), []byte(",\"")))
		f.Add(byte(i), bytes.ReplaceAll(text, []byte("1"), []byte("\"1\n\"")))
		f.Add(byte(i), bytes.ReplaceAll(text, []byte("2"), []byte("\xff")))
		f.Add(byte(i), bytes.ReplaceAll(text, []byte("0"), []byte("-0")))
	}
	f.Fuzz(func(t *testing.T, which byte, data []byte) {
		name := names[int(which)%len(names)]
		fsys := shop.fs()
		fsys[name] = &fstest.MapFile{Data: data}
		read, textual := intake.Read(fsys)
		facts, problems := read.Facts(newShop())
		if len(textual) > len(problems) {
			t.Errorf("%d problems of the text became %d", len(textual), len(problems))
		}
		lines := map[string]int{}
		for name, text := range shop {
			lines[name] = strings.Count(text, "\n") + 1
		}
		lines[name] = bytes.Count(data, []byte("\n")) + 1
		for _, p := range problems {
			if p.Line < 1 || p.Line > lines[p.File] {
				t.Errorf("%v: %s has %d lines", p, p.File, lines[p.File])
			}
			if text := p.String(); strings.ContainsAny(text, "\n\r") || p.Text == "" || len(text) > 2000 {
				t.Errorf("%q is not one line of words", text)
			}
		}
		order := func(a, b intake.Problem) int { return slices.Index(names, a.File) - slices.Index(names, b.File) }
		if !slices.IsSortedFunc(problems, order) {
			t.Errorf("%v are not in the order of files", problems)
		}
		if len(problems) > 0 {
			return
		}
		again, problems := read.Facts(keep(newShop(), facts))
		if err := problems.Err(); err != nil {
			t.Fatalf("a second time: %v", err)
		}
		wantNothingNew(t, again)
	})
}
