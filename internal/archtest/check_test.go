package archtest

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"strings"
)

const module = "windingroom"

// goPackage is what `go list -json` says of a package; Imports are those of its code without tests, Deps all it reaches.
type goPackage struct {
	ImportPath, Name, Doc, Dir string
	GoFiles, CgoFiles          []string
	Imports, Deps              []string
}

func relative(importPath string) string { return strings.TrimPrefix(importPath, module+"/") }

func ours(importPath string) bool { return under(importPath, module) }

// thirdParty tells a library by the dot in its host name, which no standard package has.
func thirdParty(importPath string) bool {
	host, _, _ := strings.Cut(importPath, "/")
	return strings.Contains(host, ".")
}

func under(importPath, root string) bool {
	return importPath == root || strings.HasPrefix(importPath, root+"/")
}

func underAny(importPath string, roots []string) bool {
	return slices.ContainsFunc(roots, func(root string) bool { return under(importPath, root) })
}

// violations gives a line for each way in which the package breaks the table.
func violations(p goPackage, table map[string]rule) []string {
	self := relative(p.ImportPath)
	r, known := table[self]
	if !known {
		return []string{self + " is not in the table of rules_test.go: give it a line there"}
	}
	var broken []string
	add := func(format string, args ...any) { broken = append(broken, self+" "+fmt.Sprintf(format, args...)) }
	if p.Doc == "" {
		add("has no package comment")
	}
	for _, path := range p.Imports {
		switch {
		case ours(path):
			if why := doorShut(r, relative(path), table); why != "" {
				add("imports %s, %s", relative(path), why)
			}
		case r.pure && underAny(path, closedToPure) && !underAny(path, openToPure) && !slices.Contains(r.std, path):
			add("is pure and imports %s", path)
		}
		if slices.Contains(r.direct, path) {
			add("imports %s", path)
		}
	}
	for _, path := range p.Deps {
		if underAny(path, r.never) {
			add("reaches %s", path)
		}
		if r.pure && (path == "net/http" || thirdParty(path) && !underAny(path, librariesOf(p, table))) {
			add("is pure and reaches %s", path)
		}
	}
	return broken
}

// doorShut says why a package under rule r may not import another of ours, or nothing where it may.
func doorShut(r rule, other string, table map[string]rule) string {
	o, known := table[other]
	switch {
	case !known:
		return "which is not in the table"
	case r.pure && !o.pure:
		return "which is not pure"
	case o.layer > r.layer:
		return "which is in a higher layer"
	case o.layer == r.layer && !slices.Contains(r.beside, other):
		return "which is in the same layer and not named beside it"
	}
	return ""
}

// librariesOf gives the libraries a pure package may reach: its own, and those of the packages of ours it imports.
func librariesOf(p goPackage, table map[string]rule) []string {
	libs := slices.Clone(table[relative(p.ImportPath)].libs)
	for _, path := range p.Deps {
		libs = append(libs, table[relative(path)].libs...)
	}
	return libs
}

// clockUses gives the positions where Go source asks what time it is, or waits for time to pass.
func clockUses(filename string, source any) ([]string, error) {
	files := token.NewFileSet()
	file, err := parser.ParseFile(files, filename, source, 0)
	if err != nil {
		return nil, err
	}
	asking := []string{"Now", "Since", "Until", "After", "AfterFunc", "Tick", "NewTicker", "NewTimer", "Sleep"}
	var uses []string
	ast.Inspect(file, func(n ast.Node) bool {
		if sel, ok := n.(*ast.SelectorExpr); ok {
			if pkg, ok := sel.X.(*ast.Ident); ok && pkg.Name == "time" && slices.Contains(asking, sel.Sel.Name) {
				uses = append(uses, fmt.Sprintf("%s uses time.%s", files.Position(n.Pos()), sel.Sel.Name))
			}
		}
		return true
	})
	return uses, nil
}
