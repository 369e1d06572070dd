package plan_test

import (
	"sync"
	"testing"

	"tillproof/money"
	"tillproof/plan"

	"github.com/google/go-cmp/cmp"
)

// TestParallel: one plan is priced from several goroutines at once, prepared
// or not, and always gives the same bill.
func TestParallel(t *testing.T) {
	p := mustLoad(t, twelveByTen)
	bare := *p // as one made by hand: not prepared
	want := p.PriceAs(p.Transactions[0], nil)
	var wg sync.WaitGroup
	for g := range 8 {
		wg.Go(func() {
			for range 50 {
				q := p
				if g%2 == 0 {
					q = &bare
				}
				rung := rungAsPlanned(q, q.Transactions[0])
				if got := q.PriceAs(q.Transactions[0], rung); !cmp.Equal(want, got) {
					t.Error(cmp.Diff(want, got))
				}
				q.Price()
			}
		})
	}
	wg.Wait()
}

// TestChangedCopy: a plan that is copied and then changed is priced as changed,
// and the one it was copied from as it was. The audit tries causes so.
func TestChangedCopy(t *testing.T) {
	p := mustLoad(t, twelveByTen)
	before := p.Price().OutOfPocket
	changed := *p
	changed.Offers = append([]*plan.Offer(nil), p.Offers...)
	oats := *p.Offers[1]
	half := money.MustRate("50%")
	oats.Deduct = &plan.Deduct{Percent: &half}
	changed.Offers[1] = &oats
	// 12.87 x 40% = 5.15 and x 50% = 6.44; what is left shares the store coupon
	// otherwise, but no sum besides changes.
	if got := before.Sub(changed.Price().OutOfPocket); got != money.Must("1.29") {
		t.Errorf("the copy is cheaper by %s, want 1.29", got)
	}
	if got := p.Price().OutOfPocket; got != before {
		t.Errorf("the plan itself came to %s, now %s", before, got)
	}
	changed.Prepare()
	if got := before.Sub(changed.Price().OutOfPocket); got != money.Must("1.29") {
		t.Errorf("prepared, the copy is cheaper by %s, want 1.29", got)
	}
}

// TestOtherTransaction: a transaction that is not of the plan is priced with its
// offers, nothing having been used before.
func TestOtherTransaction(t *testing.T) {
	p := mustLoad(t, twelveByTen)
	tx := *p.Transactions[0]
	tx.Items = tx.Items[:1]
	b := p.PriceAs(&tx, nil)
	if b.OutOfPocket != money.Must("6.72") { // 12.87 - 5.15 - 1.00
		t.Errorf("three oats cost %s, want 6.72", b.OutOfPocket)
	}
}
