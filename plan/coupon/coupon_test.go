package coupon

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestGuideline decodes the strings of the North American Coupon Application
// Guideline (R2.0, 2015), which GS1's Barcode Syntax Dictionary has as its tests.
// How they split follows from the layout; what the codes mean is from memory.
func TestGuideline(t *testing.T) {
	buy := func(amount int, family, prefix string) Requirement {
		return Requirement{Amount: amount, Family: family, Prefix: prefix}
	}
	one := func(offer string, save int, r ...Requirement) Symbol {
		return Symbol{Kind: DataBar, Funder: "0614141", Offer: offer, Save: save, Buy: r}
	}
	with := func(c Symbol, change func(*Symbol)) Symbol { change(&c); return c }
	const end = "2010-12-31"
	for _, c := range []struct {
		name, data string
		want       Symbol
	}{
		{"figure 3", "10614141011111275110111", one("011111", 75, buy(1, "111", ""))},
		{"figure 4", "106141410222223100110222111101231023456721104561045678991201",
			with(one("022222", 100, buy(1, "222", ""), buy(1, "123", "0234567"), buy(1, "456", "0456789")), func(c *Symbol) {
				c.Rule, c.SaveCode, c.AppliesTo, c.DontMultiply = 1, FreeItem, 2, true
			})},
		{"appendix C, example 1", "1061414165432131501101201211014092110256100126663101231",
			with(one("654321", 150, buy(1, "120", ""), buy(1, "140", ""), buy(1, "256", "0012666")), func(c *Symbol) { c.Rule, c.Expires = 2, end })},
		{"appendix C, example 2", "106141410012342501106501013085093101231",
			with(one("001234", 50, buy(1, "650", ""), buy(3, "850", "")), func(c *Symbol) { c.Expires = end })},
		{"appendix C, example 3", "106141410012471011076011110850921108609310123191000",
			with(one("001247", 0, buy(1, "760", ""), buy(1, "850", ""), buy(1, "860", "")), func(c *Symbol) {
				c.Rule, c.Expires, c.SaveCode = 1, end, FreeItem
			})},
		{"appendix C, example 4", "106141411234562891101201212085010048000214025610048000310123191000",
			with(one("123456", 89, buy(1, "120", ""), buy(2, "850", "0048000"), buy(4, "256", "0048000")), func(c *Symbol) {
				c.Rule, c.Expires, c.SaveCode = 2, end, FreeItem
			})},
		{"appendix C, example 5", "1061414154321031501101201211014092110256100126663101231",
			with(one("543210", 150, buy(1, "120", ""), buy(1, "140", ""), buy(1, "256", "0012666")), func(c *Symbol) { c.Rule, c.Expires = 2, end })},
		{"figure 1", "106141416543213500110000310123196000",
			with(one("654321", 500, buy(1, "000", "")), func(c *Symbol) { c.Expires, c.SaveCode = end, BasketOff })},
		{"the least", "012345612345611110123", Symbol{Kind: DataBar, Funder: "123456", Offer: "123456", Save: 1, Buy: []Requirement{buy(1, "123", "")}}},
	} {
		for _, in := range []string{"(8110)" + c.data, "8110" + c.data, c.data} {
			got, err := Parse(in)
			if diff := cmp.Diff(c.want, got); diff != "" || err != nil {
				t.Errorf("%s, %s: %v\n%s", c.name, in, err, diff)
			}
		}
	}
}

// TestPaperless: AI (8112) strings of the same dictionary.
func TestPaperless(t *testing.T) {
	for data, want := range map[string]Symbol{
		"001234561234560123456":                {Kind: Paperless, Funder: "123456", Offer: "123456", Serial: "123456"},
		"0012345612345611234567":               {Kind: Paperless, Funder: "123456", Offer: "123456", Serial: "1234567"},
		"061234567890121234569123456789012345": {Kind: Paperless, Funder: "123456789012", Offer: "123456", Serial: "123456789012345"},
	} {
		got, err := Parse("(8112)" + data)
		if diff := cmp.Diff(want, got); diff != "" || err != nil {
			t.Errorf("%s: %v\n%s", data, err, diff)
		}
		if _, ok := got.Worth(); ok {
			t.Errorf("%s: a value, which is in no paperless symbol", data)
		}
	}
	for _, bad := range []string{"201234561234560123456", "901234561234560123456", "0012345612345601234567"} {
		if c, err := Parse("(8112)" + bad); err == nil {
			t.Errorf("%s decodes as %+v", bad, c)
		}
	}
}

// TestRefused: what the dictionary's tests refuse, one change to a good string each.
func TestRefused(t *testing.T) {
	const least = "012345612345611110123"
	for why, data := range map[string]string{
		"funder's length 7":        "7" + least[1:],
		"save length 0":            "0123456123456" + "0" + "110123",
		"save length 6":            "0123456123456" + "6123456" + "110123",
		"requirement code 6":       least[:17] + "6" + least[18:],
		"purchase rule 4":          least + "14110123" + "9",
		"save value code 3":        least + "93000",
		"save value code 4":        least + "94000",
		"save value code 7":        least + "97000",
		"applies to 3":             least + "90300",
		"don't multiply 2":         least + "90002",
		"a digit too many":         least + "0",
		"retailer's length 0":      least + "60123456",
		"retailer's length 8":      least + "6812345678901234",
		"no such date":             least + "3101331",
		"starts after it expires":  least + "3101231" + "4110101",
		"fields in another order":  least + "4101230" + "3101231",
		"cut short":                least[:20],
		"more than seventy digits": least + "59" + strings.Repeat("1", 15) + "67" + strings.Repeat("1", 13) + strings.Repeat("9", 20),
	} {
		if c, err := Parse("(8110)" + data); err == nil {
			t.Errorf("%s: %s decodes as %+v", why, data, c)
		}
	}
	if _, err := Parse("8110 one off"); err == nil {
		t.Error("letters decode")
	}
}

func TestWorth(t *testing.T) {
	for data, want := range map[string]string{
		"10614141011111275110111":                             "0.75",
		"106141416543213500110000310123196000":                "5.00 off the basket",
		"106141410012471011076011110850921108609310123191000": "1 free",
		"012345612345622011012395000":                         "20%",
		"514141100906":                                        "0.90", // value code 90, from memory
		"514141100760":                                        "1.00", // value code 76, from memory
	} {
		c, err := Parse(data)
		if err != nil {
			t.Errorf("%s: %v", data, err)
			continue
		}
		w, ok := c.Worth()
		got := ""
		switch {
		case !ok:
		case w.Amount != nil && w.Basket:
			got = w.Amount.String() + " off the basket"
		case w.Amount != nil:
			got = w.Amount.String()
		case w.Percent > 0:
			got = fmt.Sprintf("%d%%", w.Percent)
		case w.Free > 0:
			got = fmt.Sprintf("%d free", w.Free)
		}
		if got != want {
			t.Errorf("%s is worth %q, want %q", data, got, want)
		}
	}
	// GS1's check digit of a UPC-A; a wrong one is refused.
	if _, err := Parse("514141100905"); err == nil {
		t.Error("a wrong check digit passes")
	}
}

func FuzzParse(f *testing.F) {
	f.Add("(8110)10614141011111275110111")
	f.Add("(8112)001234561234560123456")
	f.Add("514141100906")
	f.Fuzz(func(t *testing.T, s string) {
		c, err := Parse(s)
		if err == nil && (c.Funder == "" || c.Kind != Paperless && len(c.Buy) == 0 || len(c.Buy) > 3) {
			t.Errorf("%q decodes as %+v", s, c)
		}
	})
}
