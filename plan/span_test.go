package plan_test

import (
	"testing"

	"tillproof/plan"
)

func TestSpanString(t *testing.T) {
	first, err1 := plan.ParseDate("2026-05-01")
	last, err2 := plan.ParseDate("2026-05-09")
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	for want, s := range map[string]plan.Span{
		"2026-05-01 through 2026-05-09": {From: first, Through: last},
		"from 2026-05-01":               {From: first},
		"through 2026-05-09":            {Through: last},
		"":                              {},
	} {
		if got := s.String(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
