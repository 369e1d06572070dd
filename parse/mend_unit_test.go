package parse

import "testing"

func TestMendedUnit(t *testing.T) {
	for _, c := range []struct {
		word        string
		afterNumber bool
		want        string
	}{
		{"2.19/1b", false, "2.19/lb"},
		{"3.21/Ib", false, "3.21/lb"},
		{"0.51/b", false, "0.51/lb"},
		{"/1lb", false, "/lb"},
		{"Ib", true, "lb"},
		{"Ib", false, "Ib"},
		{"1.371b", false, "1.37lb"},
		{"2.61Ib", false, "2.61lb"},
		{"11b", false, "11b"},       // two digits are no weight with two decimals
		{"1.3711", false, "1.3711"}, // no unit at all
		{"7.98", true, "7.98"},
		{"N/B", false, "N/B"},
		{"A/b", false, "A/b"}, // no number before the slash
		{"750g", false, "750g"},
	} {
		if got := mendedUnit(c.word, c.afterNumber); got != c.want {
			t.Errorf("mendedUnit(%q, %v) = %q, want %q", c.word, c.afterNumber, got, c.want)
		}
	}
}
