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
		`"(8110)01234561234561111012391000"`:            "3.00", // one unit free
		`"(8110)01234561234562201101239 5000"`:          "5.40", // 20% of one unit
		// The old symbol's value codes, from memory.
		`"514141100012"`: "3.00", // one free
		`"514141100142"`: "3.00", // buy 1, get 1 free
		`"514141100166"`: "6.00", // buy 2, get 1 free: there are but two
		`"514141100333"`: "5.00", // buy 2, get 1.00 off
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
	for what, code := range map[string]string{
		"a paperless coupon, without a value in it": "(8112)001234561234560123456",
		"off the transaction":                       "(8110)106141416543213500110000310123196000",
		"several goods":                             "(8110)106141410012471011076011110850921108609310123191000",
		"several units free":                        "(8110)01234561234561213012392000",
		"the cashier handles it":                    "514141100005",
	} {
		if _, err := Load([]byte(coded+"coupon_code: \""+code+"\"}\n"), "plan.yaml", nil); err == nil || !strings.Contains(err.Error(), "gives nothing") {
			t.Errorf("%s: the plan must say what it gives: %v", what, err)
		}
	}
}

// TestRemembered: what is taken from codes whose meaning is from memory is marked, and
// only that.
func TestRemembered(t *testing.T) {
	for rest, want := range map[string]bool{
		`"(8110)10614141011111275110111"`:                  false, // figure 3
		`"(8110)1061414100123425011065013101231"`:          false, // not whole: the deduction is the plan's
		`"(8110)01234561234562201101239 5000"`:             true,
		`"(8110)012345612345625035001123"`:                 true, // for so much spent
		`"514141100760"`:                                   true,
		`"514141100760", deduct: 1.00`:                     false,
		`"(8110)01234561234561111012391000", deduct: free`: false,
	} {
		p, err := Load([]byte(coded+"coupon_code: "+rest+"}\n"), "plan.yaml", nil)
		if err != nil {
			if want {
				t.Errorf("%s: %v", rest, err)
			}
			continue
		}
		o := p.Offers[0]
		if told := strings.Contains(strings.Join(o.CodeRemarks(), "\n"), "from memory"); o.Remembered != want || told != want {
			t.Errorf("%s: from memory %v, told %v, want %v", rest, o.Remembered, told, want)
		}
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
