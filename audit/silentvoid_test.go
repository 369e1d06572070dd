package audit

import (
	"strings"
	"testing"

	"tillproof/ocr"
	"tillproof/parse"
)

const rolls = `plan: 1
store: Harbor Lane Market
date: 2026-05-09
transactions:
  - id: breakfast
    items:
      - {id: rolls, name: Farrow soft rolls 6 ct, quantity: 3, shelf: 4.00}
      - {id: oats, name: Millbrook rolled oats 1 kg, shelf: 4.29}
      - {id: tea, name: Wexcombe black tea 80 ct, shelf: 5.49}
offers:
  - {id: bogo, title: "Soft rolls, buy one get one free", applies_to: [rolls], buy: 2, reduces: cheapest, deduct: free}
`

// photographed is a receipt of a photo on which every word was read for sure.
func photographed(text string) *parse.Receipt { return parsePage(photoPage(text)) }

func parsePage(page ocr.Page) *parse.Receipt {
	return parse.Parse([]ocr.Page{page}, parse.Options{})
}

// photoPage is a photo on which every word was read for sure.
func photoPage(text string) ocr.Page {
	page := parse.TextPage(text)
	page.Text, page.Top, page.Bottom = false, true, true
	for i := range page.Lines {
		page.Lines[i].Photo = 1
		reading := &page.Lines[i].Readings[0]
		reading.Votes = 3
		for k := range reading.Words {
			reading.Words[k].Confidence = 0.95
		}
	}
	return page
}

// What makes goods free in words of the till's own looks like what takes them back: then
// nothing is firm, on a photo as in a text, and for several uses as for one.
func TestFreeGoodsInOddWords(t *testing.T) {
	const roll = "FARROW SOFT ROLLS          4.00\n"
	const free = "B1G1 FARROW SOFT ROLLS    -4.00\n"
	for _, c := range []struct {
		rung, took int
		total      string
	}{{3, 1, "17.78"}, {4, 2, "17.78"}, {4, 1, "21.78"}} {
		p := load(t, strings.Replace(rolls, "quantity: 3", "quantity: "+string(rune('0'+c.rung)), 1))
		text := "HARBOR LANE MARKET\n05/09/2026 10:42\n" + strings.Repeat(roll, c.rung) + strings.Repeat(free, c.took) +
			"MILLBROOK ROLLED OATS      4.29\nWEXCOMBE BLACK TEA         5.49\nSUBTOTAL                  " + c.total + "\nTOTAL                     " + c.total + "\nCARD                      " + c.total + "\n"
		for what, r := range map[string]*parse.Receipt{"text": parsed(text, nil), "photo": photographed(text)} {
			res, err := Check(Input{Plan: p, Receipt: r})
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range res.Findings {
				if f.Certainty.Firm() {
					t.Errorf("%d rung, %d free, %s: %s is %s", c.rung, c.took, what, f.Kind, f.Certainty)
				}
			}
		}
	}
	// A word for it tells: there the offer is missing.
	text := "HARBOR LANE MARKET\n05/09/2026 10:42\n" + strings.Repeat(roll, 3) + strings.Replace(free, "B1G1", "VOID", 1) +
		"MILLBROOK ROLLED OATS      4.29\nWEXCOMBE BLACK TEA         5.49\nSUBTOTAL                  17.78\nTOTAL                     17.78\nCARD                      17.78\n"
	if res, err := Check(Input{Plan: load(t, rolls), Receipt: photographed(text)}); err != nil || res.Verdict != Short {
		t.Errorf("%v, %+v", err, res)
	}
}
