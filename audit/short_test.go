package audit

import (
	"strings"
	"testing"

	"tillproof/money"
	"tillproof/plan"
)

// TestCutShortIsSaid: on a receipt so long that not every explanation is tried, that is
// said; on a short one all are.
func TestCutShortIsSaid(t *testing.T) {
	for _, c := range []struct {
		items, offers int
		short         bool
	}{{12, 6, false}, {200, 100, true}} {
		p := large(t, c.items, c.offers)
		tx := p.Transactions[0]
		at := tx.Items[2*c.items/c.offers].Index
		rung := &plan.Rung{Offers: map[int]plan.RungOffer{2: {Items: map[int]money.Amount{at: money.FromCents(11)}}}}
		res := checked(t, p, printBill(p, tx, p.PriceAs(tx, rung), style{gathered: true, cryptic: true}))
		if len(res.Findings) == 0 || !identity(t, res) {
			t.Fatalf("%d items: findings %+v", c.items, res.Findings)
		}
		if said := strings.Contains(strings.Join(res.Notes, "\n"), "the receipt is too long"); said != c.short {
			t.Errorf("%d items and %d offers: notes %q, want it said: %v", c.items, c.offers, res.Notes, c.short)
		}
	}
}
