package audit

import (
	"fmt"
	"strings"
	"testing"

	"tillproof/money"
)

// goodsNames are names of goods that have no word in common.
var goodsNames = strings.Fields("almonds bananas carrots dumplings endives flour grapes honey icing jam kale lemons mangoes noodles olives pears quinoa rice sugar tofu udon vinegar walnuts yams zucchini apples butter cheddar dates eggs")

// Where not every pair of coupons could be tried on other goods the result says so.
func TestTaxSearchCutShortIsSaid(t *testing.T) {
	for _, n := range []int{3, len(goodsNames)} {
		var goods, offers, lines, coupons strings.Builder
		sum := int64(0)
		for i, name := range goodsNames[:n] {
			fmt.Fprintf(&goods, "      - {id: %s, name: %s, shelf: %d.37}\n", name, name, 3+i%5)
			fmt.Fprintf(&offers, "  - {id: o%d, title: 0.%d off %s, carried_as: paper, applies_to: [%s], deduct: 0.%d}\n", i, 11+i, name, name, 11+i)
			fmt.Fprintf(&lines, "%-20s %d.37\n", strings.ToUpper(name), 3+i%5)
			fmt.Fprintf(&coupons, "CPN %05d             -0.%d\n", 10007+i*131, 11+i)
			sum += int64(100*(3+i%5) + 37 - 11 - i)
		}
		p := load(t, "plan: 1\nstore: Harbor Lane Market\ntransactions:\n  - id: t\n    items:\n"+goods.String()+"offers:\n"+offers.String())
		total := money.FromCents(sum)
		in := Input{Plan: p, Receipt: parsed("HARBOR LANE MARKET\n"+lines.String()+coupons.String()+fmt.Sprintf("TOTAL %s\nCARD %s\n", total, total), nil)}
		c := &check{firm: true, in: in, p: p, r: in.Receipt, result: &Result{Receipt: in.Receipt}}
		if err := c.choose(); err != nil {
			t.Fatal(err)
		}
		c.text = true
		c.rungLines()
		if cut, long := c.placesGive(money.FromCents(1)), n > 3; cut != long || (len(c.result.Notes) == 1) != long {
			t.Errorf("%d goods: cut short %v, %q", n, cut, c.result.Notes)
		}
	}
}

// More ways, or more differences, than are tried: both are said once.
func TestMoreThanTried(t *testing.T) {
	c := &check{result: &Result{}}
	if n := c.most(maxSpreads); n != maxSpreads || len(c.result.Notes) > 0 {
		t.Errorf("%d ways, %q", n, c.result.Notes)
	}
	for range 2 {
		if n := c.most(maxSpreads + 1); n != maxSpreads || len(c.result.Notes) != 1 {
			t.Errorf("%d ways, %q", n, c.result.Notes)
		}
	}
	departs := make([]*gap, maxCancel+1)
	for i := range departs {
		departs[i] = &gap{actual: money.FromCents(int64(1) << i)}
	}
	if c.cancel(departs[1:]) || len(c.result.Notes) != 1 {
		t.Errorf("%d differences: %q", maxCancel, c.result.Notes)
	}
	if c.cancel(departs) || len(c.result.Notes) != 2 {
		t.Errorf("%d differences: %q", maxCancel+1, c.result.Notes)
	}
}
