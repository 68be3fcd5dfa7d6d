package intake_test

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"windingroom/internal/intake"
)

func TestFolders(t *testing.T) {
	const machines = "machine,winds,longest_mm,minutes_per_day\n"
	tests := []struct {
		name    string
		folder  folder
		want    []string
		ignored []string
	}{
		{"empty", folder{}, []string{"none of the import files is in the folder: alloys.csv, wires.csv, suppliers.csv, spools.csv, " +
			"recipes.csv, sets.csv, orders.csv, machines.csv, usage.csv, practice.csv"}, nil},
		{"another file beside", folder{"machines.csv": machines, "machine.csv": "x", "README.md": "x"}, nil, []string{"machine.csv"}},
		{"capitals", folder{"Machines.CSV": machines + "a b,both,950,450\n"},
			[]string{`Machines.CSV:2:machine: "a b" has ' '; a code is made of the letters a to z, digits, . - and _`}, nil},
		{"two of a kind", folder{"Machines.csv": machines, "machines.csv": machines},
			[]string{"machines.csv: is here twice, the other is Machines.csv; keep one of them"}, nil},
		{"a folder in place of a file", folder{"machines.csv/x": ""},
			[]string{"machines.csv:1:machine: cannot be read on: invalid argument"}, nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			read, problems := intake.Read(test.folder.fs())
			if got := texts(problems); !slices.Equal(got, test.want) {
				t.Errorf("got %q, want %q", got, test.want)
			}
			if !slices.Equal(read.Ignored, test.ignored) {
				t.Errorf("ignored %q, want %q", read.Ignored, test.ignored)
			}
		})
	}
}

// broken is a folder whose files fail after some bytes.
type broken struct{ fstest.MapFS }

type brokenFile struct {
	fs.File
	read bool
}

var errDisk = errors.New("disk fault")

func (b broken) Open(name string) (fs.File, error) {
	f, err := b.MapFS.Open(name)
	if err != nil || name == "." {
		return f, err
	}
	return &brokenFile{File: f}, nil
}

func (f *brokenFile) Read(p []byte) (int, error) {
	if f.read {
		return 0, errDisk
	}
	f.read = true
	return f.File.Read(p)
}

func TestAFileThatCannotBeReadToItsEnd(t *testing.T) {
	_, problems := intake.Read(broken{folder{"machines.csv": shop["machines.csv"]}.fs()})
	want := []string{"machines.csv:3:machine: cannot be read on: disk fault"}
	if got := texts(problems); !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestARecordWithoutEnd(t *testing.T) {
	long := shop["machines.csv"] + `"` + strings.Repeat("x,\n", 1<<20)
	_, problems := intake.Read(folder{"machines.csv": long}.fs())
	want := []string{"machines.csv:3:machine: a record from here on is longer than 1048576 bytes; is a quote left open?"}
	if got := texts(problems); !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestLongFields(t *testing.T) {
	for _, n := range []int{1000, 1001, 500_000} {
		_, problems := readAll(shop.with(t, "suppliers.csv", "North Ferry Wire", strings.Repeat("é", n)), newShop())
		want := fmt.Sprintf("suppliers.csv:2:name: is %d characters long; at most 1000", n)
		switch {
		case n <= 1000 && len(problems) > 0:
			t.Errorf("%d characters: %v", n, problems)
		case n > 1000 && (len(problems) != 1 || problems[0].String() != want):
			t.Errorf("got %.200q, want %q", texts(problems), want)
		}
	}
	_, problems := readAll(shop.with(t, "machines.csv", "950", strings.Repeat("9", 500_000)), newShop())
	if got := problems.Error(); len(got) > 300 {
		t.Errorf("a long number makes a message of %d bytes", len(got))
	}
}

func TestOfManyProblemsTheRestIsCounted(t *testing.T) {
	var usage strings.Builder
	usage.WriteString("used_on,wire,mass_g,order\n")
	for range 1500 {
		usage.WriteString("2026-01-01,unknown,1,\n2026-01-01,MW-R-10,0,\n")
	}
	_, problems := readAll(shop.with(t, "usage.csv", "", usage.String()), newShop())
	if len(problems) != 1001 {
		t.Fatalf("%d problems, want 1000 and a remark", len(problems))
	}
	lines := texts(problems)
	if want := "usage.csv:1001:mass_g: 0 must be more than 0, in grams"; lines[999] != want {
		t.Errorf("last is %q, want %q", lines[999], want)
	}
	if want := "usage.csv:1001: and 2000 more problems in this file"; lines[1000] != want {
		t.Errorf("remark is %q, want %q", lines[1000], want)
	}
}

func TestNoProblemsAreNoError(t *testing.T) {
	if err := intake.Problems(nil).Err(); err != nil {
		t.Error(err)
	}
}
