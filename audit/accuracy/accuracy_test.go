package accuracy

import (
	"fmt"
	"testing"

	"tillproof/money"
)

// sample is a store's checks: over and under of n items are wrong by 0.05.
func sample(n, over, under int) []Check {
	var all []Check
	for i := range n {
		c := Check{Store: "S", Day: "2026-05-09", Item: fmt.Sprint(i), Posted: money.FromCents(499), Charged: money.FromCents(499), Units: 1}
		switch {
		case i < over:
			c.Charged = money.FromCents(504)
		case i < over+under:
			c.Charged = money.FromCents(494)
		}
		all = append(all, c)
	}
	return all
}

func tally(t *testing.T, checks []Check) Tally {
	t.Helper()
	all := Count(checks)
	if len(all) != 1 {
		t.Fatalf("%d tallies", len(all))
	}
	return all[0]
}

// Published by the North Carolina Department of Agriculture and Consumer
// Services, press releases of 2019 to 2023: overcharges, items, rate.
func TestNorthCarolina(t *testing.T) {
	for _, c := range []struct {
		over, items int
		rate        string
	}{
		{3, 50, "6.00%"}, {6, 50, "12.00%"}, {7, 50, "14.00%"}, {16, 50, "32.00%"},
		{8, 300, "2.67%"}, {11, 300, "3.67%"}, {13, 300, "4.33%"}, {15, 300, "5.00%"}, {17, 300, "5.67%"},
		{18, 300, "6.00%"}, {20, 300, "6.67%"}, {22, 300, "7.33%"}, {25, 300, "8.33%"}, {26, 300, "8.67%"},
		{38, 300, "12.67%"}, {41, 300, "13.67%"},
	} {
		got := tally(t, sample(c.items, c.over, 2))
		if got.OverchargeRate.String() != c.rate || !got.Rules[0].Exceeded || got.Rules[0].TooFew {
			t.Errorf("%d of %d: %s, exceeded %v; want %s and exceeded", c.over, c.items, got.OverchargeRate, got.Rules[0].Exceeded, c.rate)
		}
	}
	// 2% is let pass, and undercharges do not count.
	for _, c := range [][3]int{{50, 1, 20}, {300, 6, 0}} {
		if got := tally(t, sample(c[0], c[1], c[2])); got.Rules[0].Exceeded {
			t.Errorf("%v: exceeded", c)
		}
	}
}

func TestFewItemsAreNoLot(t *testing.T) {
	if got := tally(t, sample(49, 1, 0)); !got.Rules[0].TooFew {
		t.Errorf("49 items are fewer than a first lot of 50: %+v", got.Rules[0])
	}
}

// Published by the Massachusetts Division of Standards, December 2009: 3,863
// items, 19 overcharges, 99.51% accurate.
func TestMassachusetts(t *testing.T) {
	if got := tally(t, sample(3863, 19, 0)); got.Accuracy.String() != "99.51%" || !got.Accurate {
		t.Errorf("%s, %v", got.Accuracy, got.Accurate)
	}
}

// 98% by NIST Handbook 130; the cases are worked out from the rule.
func TestAccuracy(t *testing.T) {
	for _, c := range []struct {
		items, over, under int
		accuracy           string
		pass               bool
		ratio              string
	}{
		{100, 1, 1, "98.00%", true, "1.00"},
		{100, 2, 1, "97.00%", false, "2.00"},
		{50, 1, 0, "98.00%", true, ""},
		{50, 2, 0, "96.00%", false, ""},
		{300, 6, 4, "96.67%", false, "1.50"},
		{9999, 200, 0, "98.00%", false, ""}, // rounds to 98 and is below it
	} {
		got := tally(t, sample(c.items, c.over, c.under))
		if got.Accuracy.String() != c.accuracy || got.Accurate != c.pass || got.Ratio != c.ratio {
			t.Errorf("%d/%d/%d: %s %v %q, want %s %v %q", c.items, c.over, c.under, got.Accuracy, got.Accurate, got.Ratio, c.accuracy, c.pass, c.ratio)
		}
		if got.Over.Cents() != int64(5*c.over) || got.Under.Cents() != int64(5*c.under) {
			t.Errorf("%d/%d: money %s, %s", c.over, c.under, got.Over, got.Under)
		}
	}
}

// New York Agriculture and Markets Law, section 197-b; the cases are worked out
// from its threshold.
func TestNewYorkLarge(t *testing.T) {
	for _, c := range []struct {
		posted, charged int64
		units           int
		large           bool
	}{
		{199, 224, 1, true}, {199, 223, 1, false}, {250, 275, 1, true},
		{500, 549, 1, false}, {500, 550, 1, true}, {1200, 1320, 1, true},
		{500, 525, 1, false},
		{400, 425, 2, false}, {400, 450, 2, true}, // by the unit: 2.00, and 0.12 or 0.25
		{500, 400, 1, false}, {500, 500, 1, false},
	} {
		check := Check{Posted: money.FromCents(c.posted), Charged: money.FromCents(c.charged), Units: c.units}
		if check.Large() != c.large {
			t.Errorf("%d units, %s rung %s: large %v", c.units, check.Posted, check.Charged, !c.large)
		}
	}
	one := sample(100, 0, 0)
	one[3].Charged = money.FromCents(600)
	if got := tally(t, one); !got.Rules[1].Exceeded || got.Rules[0].Exceeded {
		t.Errorf("one large overcharge in 100: %+v", got.Rules)
	}
}

func TestAnItemCountsOnceADay(t *testing.T) {
	c := Check{Store: "S", Day: "2026-05-09", Item: "oats", Posted: money.FromCents(400), Charged: money.FromCents(400), Units: 1}
	under, over, later := c, c, c
	under.Charged, over.Charged, later.Day = money.FromCents(100), money.FromCents(410), "2026-05-16"
	for _, order := range [][]Check{{c, under, over, later}, {over, later, under, c}, {under, over, c, later}} {
		got := tally(t, order)
		if got.Items != 2 || got.Overcharges != 1 || got.Undercharges != 0 || got.Over.Cents() != 10 || got.From != "2026-05-09" || got.Through != "2026-05-16" {
			t.Errorf("%+v", got)
		}
	}
	if got := tally(t, []Check{c, under}); got.Undercharges != 1 {
		t.Errorf("right once and too little once: %+v", got)
	}
}
