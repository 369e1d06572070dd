package plan

import (
	"strings"
	"testing"
)

const coded = `plan: 1
date: 2010-12-01
transactions:
  - id: t
    items: [{id: a, name: oat biscuits, quantity: 2, shelf: 3.00}]
offers:
  - {id: o, title: biscuits, funded_by: maker, carried_as: paper, applies_to: [a], held: 1, `

// What a plan leaves out is filled in from the coupon's symbol; the strings are
// the guideline's own (figures 3 and 1, and example 2, cut to one requirement).
func TestFillFromCode(t *testing.T) {
	for code, want := range map[string]string{
		`"(8110)10614141011111275110111"`:               "5.25", // 0.75 off one unit
		`"(8110)106141410012342501106503101231"`:        "5.50", // 0.50 off, through 2010-12-31
		`"(8110)106141410012342501106503101130"`:        "6.00", // expired the day before
		`"(8110)1061414165432135001100003101231"`:       "1.00", // 5.00 off the line of 6.00
		`"(8110)10614141011111275110111", deduct: 1.00`: "5.00", // the plan's word goes before
	} {
		p, err := Load([]byte(coded+"coupon_code: "+code+"}\n"), "plan.yaml", nil)
		if err != nil {
			t.Errorf("%s: %v", code, err)
			continue
		}
		if got := p.Price().OutOfPocket.String(); got != want {
			t.Errorf("%s: %s out of pocket, want %s", code, got, want)
		}
	}
	// A paperless coupon has no value in it: the plan must say it.
	if _, err := Load([]byte(coded+"coupon_code: \"(8112)001234561234560123456\"}\n"), "plan.yaml", nil); err == nil || !strings.Contains(err.Error(), "gives nothing") {
		t.Errorf("a paperless coupon without a value: %v", err)
	}
}

func TestCodeRemarks(t *testing.T) {
	for rest, want := range map[string]string{
		`coupon_code: "(8110)10614141011111275110111", deduct: 0.75`:                                      "",
		`coupon_code: "(8110)10614141011111275110111", deduct: 1.00`:                                      "says 0.75 off, and the plan says 1.00 off",
		`coupon_code: "(8110)10614141011111275110111", deduct: 1.00, seen_values: [0.75]`:                 "",
		`coupon_code: "(8110)10614141011111275110111", deduct: 0.75, buy: 2`:                              "asks for 1 units, and the plan for 2",
		`coupon_code: "(8110)106141410012342501106503101231", deduct: 0.50, valid: {through: 2010-12-15}`: "expires on 2010-12-31, and the plan has 2010-12-15",
		`coupon_code: "(8110)1061414", deduct: 0.50`:                                                      "is none of AI (8110) or (8112)",
	} {
		p, err := Load([]byte(coded+rest+"}\n"), "plan.yaml", nil)
		if err != nil {
			t.Errorf("%s: %v", rest, err)
			continue
		}
		got := strings.Join(p.Offers[0].CodeRemarks(), " / ")
		if want == "" && got != "" || !strings.Contains(got, want) {
			t.Errorf("%s: remarks %q, want %q", rest, got, want)
		}
	}
}
