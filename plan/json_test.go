package plan_test

import (
	"encoding/json"
	"strings"
	"testing"

	"tillproof/plan"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// TestBillThroughJSON: a bill that is written and read again is the same, but
// for what is not part of the result.
func TestBillThroughJSON(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		src, store := drawPlan(t)
		want := load(t, src, store).Price()
		text, err := json.Marshal(want)
		if err != nil {
			t.Fatal(err)
		}
		var got plan.Bill
		if err := json.Unmarshal(text, &got); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, &got,
			cmpopts.IgnoreFields(plan.BillLine{}, "Regular"), cmpopts.IgnoreFields(plan.Deduction{}, "Covered"),
			cmpopts.IgnoreFields(plan.BillCredit{}, "Uses"), cmpopts.IgnoreFields(plan.BillRebate{}, "Uses"),
		); diff != "" {
			t.Fatalf("%s\n%s", diff, text)
		}
	})
}

// TestBillLineJSON: what was bought stands as text, a weight with the decimals
// it was written with.
func TestBillLineJSON(t *testing.T) {
	p := mustLoad(t, "plan: 1\ntransactions: [{id: t, items: [{id: a, name: a, weight: 0.50 lb, shelf: 4.99}, {id: b, name: b, quantity: 3, shelf: 1.00}]}]")
	for i, want := range []string{
		`{"item":"a","weight":"0.50","unit":"lb","price":"2.50","deductions":[],"net":"2.50"}`,
		`{"item":"b","quantity":"3","price":"3.00","deductions":[],"net":"3.00"}`,
	} {
		got, err := json.Marshal(p.PriceAs(p.Transactions[0], nil).Lines[i])
		if err != nil || string(got) != want {
			t.Errorf("%s, %v; want %s", got, err, want)
		}
	}
	var l plan.BillLine
	for _, bad := range []string{`{"quantity":"x"}`, `{"weight":"x"}`, `{"quantity":3}`, `[]`} {
		if err := json.Unmarshal([]byte(bad), &l); err == nil {
			t.Errorf("%s reads as %+v", bad, l)
		}
	}
}

// TestDateJSON: no date is left out of a result, and a bad one is refused.
func TestDateJSON(t *testing.T) {
	p := mustLoad(t, "plan: 1\ntransactions: [{id: t, items: [{id: a, name: a, shelf: 4.99}]}]")
	text, err := json.Marshal(p.Price())
	if err != nil || strings.Contains(string(text), "date") {
		t.Errorf("%s, %v", text, err)
	}
	var d plan.Date
	if err := json.Unmarshal([]byte(`"2026-13-01"`), &d); err == nil {
		t.Errorf("a thirteenth month reads as %s", d)
	}
	if err := json.Unmarshal([]byte(`"2026-02-28"`), &d); err != nil || d.AddDays(1).String() != "2026-03-01" {
		t.Errorf("%s, %v", d, err)
	}
}
