package intake_test

import (
	"os"
	"testing"

	"windingroom/internal/intake"
	"windingroom/internal/material"
)

func TestScenarioImportsWithoutProblems(t *testing.T) {
	folder, problems := intake.Read(os.DirFS("../../testdata/scenario"))
	if err := problems.Err(); err != nil {
		t.Fatal(err)
	}
	facts, problems := folder.Facts(intake.Known{Alloys: material.BuiltIn()})
	if err := problems.Err(); err != nil {
		t.Fatal(err)
	}
	for _, c := range facts.Counts {
		if c.Added+c.Changed == 0 {
			t.Errorf("%s adds nothing", c.File)
		}
	}
	if len(facts.Counts) != len(intake.Files()) {
		t.Errorf("counts of %d files, want %d", len(facts.Counts), len(intake.Files()))
	}
}
