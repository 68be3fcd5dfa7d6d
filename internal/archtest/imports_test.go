package archtest

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"windingroom/internal/testkit"
)

func listPackages(t *testing.T) []goPackage {
	t.Helper()
	list := exec.CommandContext(t.Context(), "go", "list", "-e", "-buildvcs=false",
		"-json=ImportPath,Name,Doc,Dir,GoFiles,CgoFiles,Imports,Deps", "./...")
	list.Dir = testkit.ModuleRoot(t)
	var problems strings.Builder
	list.Stderr = &problems
	out, err := list.Output()
	if err != nil {
		t.Fatalf("%v: %v\n%s", list, err, problems.String())
	}
	var packages []goPackage
	for decoder := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p goPackage
		if err := decoder.Decode(&p); errors.Is(err, io.EOF) {
			return packages
		} else if err != nil {
			t.Fatal(err)
		}
		packages = append(packages, p)
	}
}

func TestPackagesKeepTheRules(t *testing.T) {
	packages := listPackages(t)
	if len(packages) < 3 {
		t.Fatalf("go list found %d packages; the module has more", len(packages))
	}
	for _, p := range packages {
		t.Run(relative(p.ImportPath), func(t *testing.T) {
			for _, broken := range violations(p, rules) {
				t.Error(broken)
			}
			if !rules[relative(p.ImportPath)].pure {
				return
			}
			for _, file := range append(p.GoFiles, p.CgoFiles...) {
				uses, err := clockUses(filepath.Join(p.Dir, file), nil)
				if err != nil {
					t.Error(err)
				}
				for _, use := range uses {
					t.Errorf("a pure package is told the time: %s", use)
				}
			}
		})
	}
}

func TestTableIsSound(t *testing.T) {
	for path, r := range rules {
		for _, other := range r.beside {
			o, known := rules[other]
			if !known || o.layer != r.layer {
				t.Errorf("%s names %s beside it, which is not in its layer", path, other)
			}
		}
		for _, other := range r.never {
			if _, known := rules[relative(other)]; ours(other) && !known {
				t.Errorf("%s must never reach %s, which is not in the table", path, other)
			}
		}
		if !r.pure && len(r.libs)+len(r.std) > 0 {
			t.Errorf("%s is not pure, so its libs and std say nothing", path)
		}
	}
}

// The checks themselves, on packages that do not exist.
func TestViolations(t *testing.T) {
	table := map[string]rule{
		"low":    {layer: 0, pure: true, libs: []string{"example.org/decimal"}},
		"high":   {layer: 1, pure: true, beside: []string{"beside"}, std: []string{"io/fs"}},
		"beside": {layer: 1, pure: true},
		"apart":  {layer: 1, pure: true},
		"outer":  {layer: 0},
		"door":   {layer: 2, direct: []string{"os"}, never: []string{"gorm.io", "windingroom/outer"}},
	}
	tests := []struct {
		name string
		pkg  string
		imp  []string // imported, and so reached
		deps []string // reached only
		doc  string
		want string // part of the one complaint; empty for none
	}{
		{name: "lower layer", pkg: "high", imp: []string{"windingroom/low"}},
		{name: "named beside", pkg: "high", imp: []string{"windingroom/beside"}},
		{name: "values of the standard library", pkg: "low", imp: []string{"fmt", "time", "database/sql/driver"}, deps: []string{"os"}},
		{name: "own library", pkg: "low", imp: []string{"example.org/decimal"}},
		{name: "library of a package it imports", pkg: "high", imp: []string{"windingroom/low"}, deps: []string{"example.org/decimal/inner"}},
		{name: "excepted standard package", pkg: "high", imp: []string{"io/fs"}},
		{name: "door with a library", pkg: "door", imp: []string{"github.com/gin-gonic/gin", "net/http"}, deps: []string{"os"}},

		{name: "unknown package", pkg: "new", want: "not in the table"},
		{name: "import of an unknown package", pkg: "door", imp: []string{"windingroom/new"}, want: "not in the table"},
		{name: "no package comment", pkg: "low", doc: "none", want: "no package comment"},
		{name: "higher layer", pkg: "low", imp: []string{"windingroom/high"}, want: "higher layer"},
		{name: "same layer", pkg: "high", imp: []string{"windingroom/apart"}, want: "same layer"},
		{name: "pure imports what is not", pkg: "high", imp: []string{"windingroom/outer"}, want: "not pure"},
		{name: "pure opens files", pkg: "low", imp: []string{"os"}, want: "imports os"},
		{name: "pure starts programs", pkg: "low", imp: []string{"os/exec"}, want: "imports os/exec"},
		{name: "pure logs", pkg: "low", imp: []string{"log/slog"}, want: "imports log/slog"},
		{name: "pure queries", pkg: "low", imp: []string{"database/sql"}, want: "imports database/sql"},
		{name: "pure reaches the network", pkg: "low", deps: []string{"net/http"}, want: "reaches net/http"},
		{name: "pure reaches a library", pkg: "high", deps: []string{"gorm.io/gorm"}, want: "reaches gorm.io/gorm"},
		{name: "never, far away", pkg: "door", deps: []string{"gorm.io/driver/sqlite"}, want: "reaches gorm.io/driver/sqlite"},
		{name: "never, one of ours", pkg: "door", imp: []string{"windingroom/outer"}, want: "reaches windingroom/outer"},
		{name: "never directly", pkg: "door", imp: []string{"os"}, want: "imports os"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := goPackage{ImportPath: "windingroom/" + tt.pkg, Doc: "Package x does it.", Imports: tt.imp, Deps: append(tt.deps, tt.imp...)}
			if tt.doc == "none" {
				p.Doc = ""
			}
			got := violations(p, table)
			switch {
			case tt.want == "" && len(got) > 0:
				t.Errorf("complained: %q", got)
			case tt.want != "" && (len(got) != 1 || !strings.Contains(got[0], tt.want)):
				t.Errorf("got %q, want one with %q", got, tt.want)
			}
		})
	}
}

func TestClockUses(t *testing.T) {
	tests := []struct {
		name, body string
		want       int
	}{
		{"asks the time", "_ = time.Now()", 1},
		{"hands the clock on", "f := time.Now; _ = f", 1},
		{"measures and waits", "time.Sleep(time.Since(t))", 2},
		{"compares instants it was given", "_ = t.After(t)", 0},
		{"only speaks of it", "// time.Now()\n _ = time.Second", 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			source := "package p\nimport \"time\"\nfunc f(t time.Time) {" + tt.body + "\n}"
			got, err := clockUses("p.go", source)
			if err != nil || len(got) != tt.want {
				t.Errorf("got %q, %v; want %d uses", got, err, tt.want)
			}
		})
	}
}
