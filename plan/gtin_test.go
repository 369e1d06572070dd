package plan_test

import (
	"strings"
	"testing"

	"tillproof/plan"
)

// TestCheckDigit has the examples of GS1 General Specifications section 7.9.1 as
// general-purpose libraries and GS1's own manual calculation reproduce them.
func TestCheckDigit(t *testing.T) {
	for body, want := range map[string]byte{
		"629104150021":      '3', // GS1's example
		"950110153100":      '0',
		"9501234":           '6',
		"03600029145":       '2',
		"703801005447":      '1',
		"978820551237":      '5', // an ISBN-13
		"37610425002123456": '9', // an SSCC
		"1061414100001":     '9', // computed from the rule
	} {
		if got := plan.CheckDigit(body); got != want {
			t.Errorf("check digit of %s is %c, want %c", body, got, want)
		}
	}
}

func TestParseGTIN(t *testing.T) {
	for code, want := range map[string]string{
		"6291041500213":  "06291041500213",
		"95012346":       "00000095012346",
		"036000291452":   "00036000291452",
		"0036000291452":  "00036000291452",
		"10614141000019": "10614141000019",
	} {
		if got, err := plan.ParseGTIN(code); err != nil || got != want {
			t.Errorf("ParseGTIN(%s) = %s, %v; want %s", code, got, err, want)
		}
	}
	for _, code := range []string{"", "6291041500214", "629104150021", "9501234", "03600029145x", "106141410000199"} {
		if got, err := plan.ParseGTIN(code); err == nil {
			t.Errorf("ParseGTIN(%q) = %s, want an error", code, got)
		}
	}
}

// TestAnyDigitWrong: the check digit tells every single wrong digit, which is
// what it is for.
func TestAnyDigitWrong(t *testing.T) {
	const code = "6291041500213"
	for i := range code {
		for d := byte('0'); d <= '9'; d++ {
			if d == code[i] {
				continue
			}
			if wrong := code[:i] + string(d) + code[i+1:]; !fails(wrong) {
				t.Errorf("%s passes", wrong)
			}
		}
	}
}

func fails(code string) bool {
	_, err := plan.ParseGTIN(code)
	return err != nil
}

// TestExpandUPCE has the pairs of GS1 General Specifications section 5.2.2.4.2
// that two general-purpose libraries give.
func TestExpandUPCE(t *testing.T) {
	for short, long := range map[string]string{
		"04252614": "042100005264",
		"02345673": "023456000073",
		"02345147": "023450000017",
		"06397126": "063200009716",
		"08679339": "086700000939",
		"01234565": "012345000065",
	} {
		if got, err := plan.ExpandUPCE(short); err != nil || got != long {
			t.Errorf("ExpandUPCE(%s) = %s, %v; want %s", short, got, err, long)
		}
		if fails(long) {
			t.Errorf("%s has a wrong check digit", long)
		}
	}
	for _, bad := range []string{"", "04252615", "24252614", "0425261", "0121230x", "01214530", "01230540", "01234055"} {
		if got, err := plan.ExpandUPCE(bad); err == nil {
			t.Errorf("ExpandUPCE(%q) = %s, want an error", bad, got)
		}
	}
}

// TestPriceVerifier has the two examples of GS1 General Specifications sections
// 7.9.3 and 7.9.4 as library documentation gives them (2875 and 14685); the
// others are worked out from the weighting tables, on which two libraries and an
// article agree.
func TestPriceVerifier(t *testing.T) {
	for price, want := range map[string]byte{
		"2875": '9', "14685": '6',
		"0000": '0', "0199": '0', "0349": '7', "1234": '9', "4321": '5', "9999": '6',
		"00199": '2', "01234": '1', "12345": '8', "54321": '4',
	} {
		if got, err := plan.PriceVerifier(price); err != nil || got != want {
			t.Errorf("verifier of %s is %c, %v; want %c", price, got, err, want)
		}
	}
	for _, bad := range []string{"", "123", "123456", "12a4"} {
		if got, err := plan.PriceVerifier(bad); err == nil {
			t.Errorf("PriceVerifier(%q) = %c, want an error", bad, got)
		}
	}
}

// TestPriceEmbedded has codes worked out from GS1 General Specifications
// section 2.1.14.2 and the layouts of a general-purpose library's tests.
func TestPriceEmbedded(t *testing.T) {
	for code, want := range map[string]string{
		"212345703496":  "12345 3.49",
		"0212345703496": "12345 3.49",
		"201234212997":  "01234 12.99",
		"212345543214":  "12345 43.21",
		"212345432143":  "1234 543.21",
		"2012345212992": "12345 12.99",
	} {
		got, err := plan.ParsePriceEmbedded(code)
		if text := got.Item + " " + got.Price.String(); err != nil || text != want {
			t.Errorf("ParsePriceEmbedded(%s) = %s, %v; want %s", code, text, err, want)
		}
	}
	for bad, why := range map[string]string{
		"212345603496": "check digit", // the verifier is wrong as well
		"212345603499": "verifier",
		"036000291452": "no code with a price",
		"21234570349":  "no code with a price",
		"21234570349x": "no code with a price",
	} {
		if got, err := plan.ParsePriceEmbedded(bad); err == nil || !strings.Contains(err.Error(), why) {
			t.Errorf("ParsePriceEmbedded(%q) = %v, %v; want an error about %s", bad, got, err, why)
		}
	}
}
