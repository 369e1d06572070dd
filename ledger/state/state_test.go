package state

import (
	"testing"

	"tillproof/money"
	"tillproof/plan"

	"pgregory.net/rapid"
)

var all = []State{Expected, Printed, Submitted, PaidInPart, Paid, Used, Expired, Refused, Reopen, "nonsense"}

func event(t *rapid.T, states []State) Event {
	return Event{To: rapid.SampledFrom(states).Draw(t, "to"), Amount: money.FromCents(rapid.SampledFrom([]int64{0, 0, 1, 99, 250, 500, 700, -3}).Draw(t, "cents"))}
}

// Whatever is marked in whatever order, a due keeps its books: money is only
// added by paid and used, it is settled when all of it came, and what is
// settled stays so until it is reopened.
func TestDueKeepsItsBooks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		began := rapid.SampledFrom([]State{Expected, Printed}).Draw(t, "began")
		d := Due{Kind: rapid.SampledFrom([]Kind{Credit, Rebate}).Draw(t, "kind"), Value: money.FromCents(500), Began: began, State: began}
		var came money.Amount
		for range rapid.IntRange(0, 12).Draw(t, "n") {
			e, was := event(t, all), d
			got, err := d.Apply(e)
			if err != nil {
				if got != was {
					t.Fatalf("refused %v and changed %+v to %+v", e, was, got)
				}
				continue
			}
			d = got
			switch {
			case e.To == Reopen:
				came = money.Amount{}
				if d.State != began {
					t.Fatalf("reopened to %s, began %s", d.State, began)
				}
			case was.State == Paid || was.State == Used:
				t.Fatalf("%s became %s without being reopened", was.State, d.State)
			case e.To == Paid || e.To == PaidInPart || e.To == Used:
				if e.Amount.IsZero() {
					came = money.Max(came, d.Value)
				} else {
					came = came.Add(e.Amount)
				}
			}
			if e.Amount.Sign() < 0 || e.To == "nonsense" || e.To == Used && d.Kind == Rebate {
				t.Fatalf("%v was taken", e)
			}
			if d.Paid != came {
				t.Fatalf("after %v paid is %s, %s came", e, d.Paid, came)
			}
			full := d.State == Paid || d.State == Used
			if full && d.Paid.Cmp(d.Value) < 0 || d.State == PaidInPart && d.Paid.Cmp(d.Value) >= 0 {
				t.Fatalf("%s with %s of %s", d.State, d.Paid, d.Value)
			}
			if d.Left().Sign() < 0 || d.Settled() && !d.Left().IsZero() {
				t.Fatalf("%s and %s left", d.State, d.Left())
			}
		}
	})
}

// The way of each claim that a shopper knows.
func TestDueWays(t *testing.T) {
	for _, c := range []struct {
		why  string
		kind Kind
		way  []Event
		want State
		left string
	}{
		{"a rebate paid in two parts", Rebate, []Event{{To: Submitted}, {To: Paid, Amount: money.Must("2.00")}, {To: Paid}}, Paid, "0.00"},
		{"a part only", Rebate, []Event{{To: Submitted}, {To: Paid, Amount: money.Must("2.00")}}, PaidInPart, "3.00"},
		{"refused, sent in again, paid", Rebate, []Event{{To: Submitted}, {To: Refused}, {To: Submitted}, {To: Paid}}, Paid, "0.00"},
		{"a gift card spent in two trips", Credit, []Event{{To: Printed}, {To: Used, Amount: money.Must("4.00")}, {To: Used}}, Used, "0.00"},
		{"a credit let lapse", Credit, []Event{{To: Expired}}, Expired, "0.00"},
		{"marked by mistake", Rebate, []Event{{To: Paid}, {To: Reopen}}, Expected, "5.00"},
	} {
		d := Due{Kind: c.kind, Value: money.Must("5.00"), Began: Expected, State: Expected}
		for _, e := range c.way {
			var err error
			if d, err = d.Apply(e); err != nil {
				t.Fatalf("%s: %v", c.why, err)
			}
		}
		if d.State != c.want || d.Left().String() != c.left {
			t.Errorf("%s: %s, %s left; want %s, %s", c.why, d.State, d.Left(), c.want, c.left)
		}
	}
}

func TestPast(t *testing.T) {
	day, _ := plan.ParseDate("2026-06-13")
	d := Due{Kind: Rebate, Value: money.Must("1.00"), State: Expected, By: day}
	if d.Past(day) {
		t.Error("past on its last day, which still counts")
	}
	if !d.Past(day.AddDays(1)) {
		t.Error("not past a day late")
	}
	d.State = Submitted
	if d.Past(day.AddDays(1)) {
		t.Error("a claim sent in by then does not lapse")
	}
}

func TestFindingKeepsItsBooks(t *testing.T) {
	states := []State{Open, Asked, Refunded, Declined, Dropped, Reopen, "nonsense"}
	rapid.Check(t, func(t *rapid.T) {
		f := Finding{Lost: money.FromCents(500), State: Open}
		for range rapid.IntRange(0, 10).Draw(t, "n") {
			e, was := event(t, states), f
			got, err := f.Apply(e)
			if err != nil {
				if got != was {
					t.Fatal("refused and changed")
				}
				continue
			}
			f = got
			if e.To != Reopen && was.State == Dropped {
				t.Fatalf("dropped became %s", f.State)
			}
			if f.Refunded.Cmp(was.Refunded) < 0 && e.To != Reopen {
				t.Fatalf("a refund went away: %+v, %v", was, e)
			}
			if f.State != Refunded && !f.Refunded.IsZero() {
				t.Fatalf("%s with %s refunded", f.State, f.Refunded)
			}
		}
	})
}
