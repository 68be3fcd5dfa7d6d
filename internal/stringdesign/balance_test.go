package stringdesign

import (
	"testing"

	"windingroom/internal/measure"
)

func TestBalanceOf(t *testing.T) {
	b := BalanceOf([]measure.Force{72, 80, 100, 76})
	if b.Total != 328 || b.Mean != 82 || b.Lowest != 72 || b.Highest != 100 || !near(b.Spread, 28.0/82, 1e-12) {
		t.Errorf("got %+v", b)
	}
	want := []float64{80.0/72 - 1, 0.25, -0.24}
	for i, jump := range b.Jumps {
		if !near(jump, want[i], 1e-12) {
			t.Errorf("jump %d is %v, want %v", i, jump, want[i])
		}
	}
	if first, jump, ok := b.LargestJump(); first != 1 || !near(jump, 0.25, 1e-12) || !ok {
		t.Errorf("largest jump: %d %v %v", first, jump, ok)
	}
	if first, _, _ := BalanceOf([]measure.Force{100, 110, 60}).LargestJump(); first != 1 {
		t.Errorf("a fall counts as much as a rise; got %d", first)
	}
}

func TestBalanceOfFew(t *testing.T) {
	if b := BalanceOf(nil); b.Total != 0 || b.Jumps != nil {
		t.Errorf("no strings: %+v", b)
	}
	one := BalanceOf([]measure.Force{70})
	if _, _, ok := one.LargestJump(); ok || one.Total != 70 || one.Spread != 0 {
		t.Errorf("one string: %+v", one)
	}
}
