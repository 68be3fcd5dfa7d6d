package main

import (
	"os"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
	}
	testscript.Main(m, map[string]func(){"windingroom": main})
}

// TestScripts runs the command line as people use it; each script in testdata/script is one piece of work.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(e *testscript.Env) error {
			e.Setenv("WINDINGROOM_DATABASE", "sqlite:"+e.WorkDir+"/shop.db")
			e.Setenv("USER", "script")
			e.Setenv("TODAY", time.Now().Format("060102")) // as in the codes that are made up
			e.Setenv("MONTH", time.Now().Format("2006-01"))
			return nil
		},
	})
}
