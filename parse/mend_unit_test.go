package parse

import "testing"

func TestMendedUnit(t *testing.T) {
	for _, c := range []struct {
		word        string
		afterNumber bool
		want        string
	}{
		{"2.19/1b", false, "2.19/lb"},
		{"3.21/Ib", false, "3.21/lb"},
		{"0.51/b", false, "0.51/lb"},
		{"/1lb", false, "/lb"},
		{"2.19/lbb", false, "2.19/lb"},
		{"11b/0.99", false, "1lb/0.99"},
		{"1lb/0.99", false, "1lb/0.99"},
		{"11/0.99", false, "11/0.99"},
		{"Ib", true, "lb"},
		{"Ib", false, "Ib"},
		{"1.371b", false, "1.37lb"},
		{"2.61Ib", false, "2.61lb"},
		{"2.641b@.99", false, "2.64lb@.99"},
		{"2.64lb@.99", false, "2.64lb@.99"},
		{"11b", false, "11b"},       // two digits are no weight with two decimals
		{"1.3711", false, "1.3711"}, // no unit at all
		{"7.98", true, "7.98"},
		{"N/B", false, "N/B"},
		{"A/b", false, "A/b"}, // no number before the slash
		{"750g", false, "750g"},
	} {
		if got := mendedUnit(c.word, c.afterNumber); got != c.want {
			t.Errorf("mendedUnit(%q, %v) = %q, want %q", c.word, c.afterNumber, got, c.want)
		}
	}
}

// A weight's unit with a letter misread is told by what weight and price come to.
func TestUnitRead(t *testing.T) {
	for line, want := range map[string]string{
		"0.78 LS @ 3.19 2.49":    "0.78 lb",
		"0.78 EB @ 3.19 2.49":    "0.78 lb",
		"0.78 IB @ 3.19/LB 2.49": "0.78 lb",
		"0.78 LS @ 3.19 2.59":    "",
		"0.78 EA @ 3.19 2.49":    "0.78 ",
	} {
		r := parsePhoto("GRAPES\n" + line + "\nOATS 4.00\nTOTAL 6.49\nCARD 6.49\n")
		got := ""
		if l := r.Line(1); l.Kind == LineItem && r.Line(2).Kind == LineQuantity && r.Line(2).Quantity != nil {
			got = r.Line(2).Quantity.String() + " " + r.Line(2).Unit
		}
		if got != want {
			t.Errorf("%q: %q, want %q", line, got, want)
		}
	}
}

// oatsOf is the quantity of the item OATS, "" where none was read.
func oatsOf(r *Receipt) string {
	for i := range r.Lines {
		if l := &r.Lines[i]; l.Kind == LineItem && l.Name == "OATS" && l.Quantity != nil {
			return l.Quantity.String()
		}
	}
	return ""
}

// Quantity lines on photos of which a letter or sign was read wrong.
func TestMisreadQuantityLines(t *testing.T) {
	for _, c := range []struct{ line, want string }{
		{"S PCS X 3.29", "5"},
		{"5 @CS X 3.29", "5"},
		{"S @ 3.29", "5"},
		{"5 PCS X 3.29", "5"},
		{"S LONG X 3.29", ""}, // no word for pieces
		{"5 PCS M 3.29", "5"},
		{"QTY 5 0 3.29", "5"},
		{"OTY 5 0 3.29 EACH", "5"},
		{"5 EA @ 1 FQK 3.29", "5"},
		{"5 AT ! FOR 3.29", "5"},
		{"5 AT } FOR 3.29", "5"},
		{"5 AT T FOR 3.29", "5"},
		{"5 EA @ 1 OAT 3.29 16.45", ""}, // goods, and their amount
		{"5 EA $ 3.29/EA", "5"},
		{"5 EA @ }.29/EA", "5"},
	} {
		r := parsePhoto("HARBOR LANE\n" + c.line + "\nOATS 16.45\nJAM 3.79\nTOTAL 20.24\nCARD 20.24")
		if got := oatsOf(r); got != c.want {
			t.Errorf("%q: quantity %q, want %q\n%s", c.line, got, c.want, dump(r))
		}
	}
}

// TestPiecesMisreadBeside: so are those that stand beside their amount.
func TestPiecesMisreadBeside(t *testing.T) {
	for line, want := range map[string]string{
		"5ER @ 3.29 16.45 N": "5", "IT5 ER @ 3.29 16.45 N": "5", "5 EA @ 3.29 16.45 N": "5",
		"4ER @ 3.29 16.45 N": "", "IT5 OATS @ 3.29 16.45": "", "SIZE5 ER @ 3.29 16.49": "",
	} {
		r := parsePhoto("HARBOR LANE\nOATS\n" + line + "\nJAM 3.79\nTOTAL 20.24\nCARD 20.24")
		if got := oatsOf(r); got != want {
			t.Errorf("%q: quantity %q, want %q\n%s", line, got, want, dump(r))
		}
	}
}

// TestNoGroupOfPieces: a word for pieces behind a price's number is no FOR, and what follows an amount.
func TestNoGroupOfPieces(t *testing.T) {
	for _, line := range []string{"3 EA @ 2 EA 6.00", "3 EA @ 2 = 6.00"} {
		if r := parsePhoto("HARBOR LANE\nOATS\n" + line + "\nJAM 3.79\nTOTAL 9.79\nCARD 9.79"); !r.Firm || r.Line(3).Amount == nil {
			t.Errorf("%s: firm %v\n%s", line, r.Firm, dump(r))
		}
	}
}

// What a shop sells is not its name.
func TestListIsNoStore(t *testing.T) {
	for _, c := range []struct{ head, want string }{
		{"?\nHealth - Home - Pantry\n12 Quay Street", ""},
		{"The Tallow Yard\nHealth - Home - Pantry", "The Tallow Yard"},
		{"FRESH * LOCAL * DAILY", ""},
		{"HARBOR - LANE", "HARBOR - LANE"},
		{"845 Alder Avenue\nMarrow Bay", ""}, // the name above is a picture
		{"88 N. Mill Ln., Suite 4", ""},
		{"5 Rows Farm", "5 Rows Farm"},
		{"Harbor Lane", "Harbor Lane"},
		{"SUPERCENTER\n845 Alder Avenue", ""},
		{"?\nSUPERCENTER\nHARBOR LANE", "HARBOR LANE"},
		{"HARBOR SUPERCENTER", "HARBOR SUPERCENTER"},
	} {
		if r := parsePhoto(c.head + "\nOATS 4.29\nTOTAL 4.29\nCARD 4.29"); r.Store != c.want {
			t.Errorf("%q: store %q, want %q", c.head, r.Store, c.want)
		}
	}
}

// A brand that is a letter or two from a word of tills is no message above its
// own quantity line.
func TestPhotoBrandLikeTillWord(t *testing.T) {
	r := parsePhoto(`
FENNOW FOODS
05/09/2026 14:11
SUNNICK CORN FLAKES 500 G
1 @ 2.99 N 2.99
WEXCOMBE PEANUT BUTTER 350 G
2 @ 5.70 N 11.40
SUBTOTAL 14.39
TOTAL 14.39
CASH 14.39`)
	if l := r.Lines[4]; l.Kind != LineItem || l.Name != "WEXCOMBE PEANUT BUTTER 350 G" {
		t.Errorf("line 5 is a %s named %q", l.Kind, l.Name)
	}
}

// A mark of exclamation that was read as a letter.
func TestReadExclamation(t *testing.T) {
	r := parsePhoto("HARBOR LANE\nOATS 4.29\nOn salel Regular 5.29\nJAM 3.79\nTOTAL 8.08\nCARD 8.08")
	if l := r.Line(3); l.Kind == LineItem || !r.FirmBody() {
		t.Errorf("%s, firm %v\n%s", l.Kind, r.FirmBody(), dump(r))
	}
}

// TestMendWeighed: both units of a weight are told by the letters that are left of them.
func TestMendWeighed(t *testing.T) {
	for line, want := range map[string]string{
		"0.746 EG NET @ 11.80 PER KC":   "0.746 kg",
		"0.746 &G MET @ 11.80 PER KG":   "0.746 kg",
		"0.746 L8 NET @ 11.80 PER 1B":   "0.746 lb",
		"0.746 EA NET @ 11.80 PER KC":   "",
		"0.746 KG NETTO @ 11.80 PER XX": "",
		"0.746 KG @ 11.80 PER KC":       "0.746 kg",
	} {
		r := parsePhoto("HAM 8.80\n" + line + "\nOATS 4.00\nTOTAL 12.80\nCARD 12.80\n")
		got := ""
		if l := r.Line(2); l.Kind == LineQuantity && l.Quantity != nil && l.Unit != "" {
			got = l.Quantity.String() + " " + l.Unit
		}
		if got != want {
			t.Errorf("%q: %q, want %q\n%s", line, got, want, dump(r))
		}
	}
}

// TestNoughtForAt: a nought between pieces and a price that come to the amount was "@".
func TestNoughtForAt(t *testing.T) {
	for line, want := range map[string]LineKind{"2 EA 0 3.59 7.18 T": LineQuantity, "2 EA O 3.59 7.18": LineQuantity} {
		r := parsePhoto("HARBOR LANE\nBATH TISSUE 4CT\n" + line + "\nOATS 4.00\nTOTAL 11.18\nCARD 11.18")
		if l := r.Line(3); l.Kind != want {
			t.Errorf("%q: %s, want %s\n%s", line, l.Kind, want, dump(r))
		}
	}
}
