package plan

import (
	"fmt"

	"go.yaml.in/yaml/v4"
)

var pricesSeen = []PriceFrom{FromLabel, FromAdvert, FromHearsay}

// code parses a GTIN of 8, 12, 13 or 14 digits to 14 digits.
func code(s string) (string, error) {
	if !digits(s) {
		return "", wrong{quote(s) + " is no package code", "write the 8, 12, 13 or 14 digits under the bars, without spaces"}
	}
	gtin, err := ParseGTIN(s)
	if err == nil {
		return gtin, nil
	}
	hint := "write all the digits under the bars: 8, 12, 13 or 14"
	if validLength(len(s)) {
		hint = fmt.Sprintf("check the digits: the last would have to be %c", CheckDigit(s[:len(s)-1]))
		if long, err := ExpandUPCE(s); err == nil {
			hint = "if it is a UPC-E code, write it out as " + long
		}
	}
	return "", wrong{err.Error(), hint}
}

func (l *loader) readItem(n *yaml.Node, index int, tx *Transaction) *Item {
	it := &Item{Index: index, Quantity: 1, Pos: l.pos(n)}
	var quantity, weight_, saleAt *yaml.Node
	l.object(n, "an item", []string{"id", "name", "shelf"},
		into(l.reader, "id", &it.ID, parseID),
		into(l.reader, "name", &it.Name, parseName),
		into(l.reader, "code", &it.Code, code),
		intoList(l.reader, "prints_as", &it.PrintsAs, parseName),
		field{"quantity", func(n *yaml.Node) {
			quantity = n
			if q, ok := read(l.reader, n, "quantity", whole(1, maxQuantity)); ok {
				it.Quantity = q
			}
		}},
		field{"weight", func(n *yaml.Node) {
			weight_ = n
			if w, ok := read(l.reader, n, "weight", weight); ok {
				it.Weight, it.Unit = &w.weight, w.unit
			}
		}},
		into(l.reader, "shelf", &it.Shelf, amount),
		field{"sale", func(n *yaml.Node) {
			saleAt = n
			if s, ok := read(l.reader, n, "sale", sale); ok {
				it.Sale = &s
			}
		}},
		into(l.reader, "fee", &it.Fee, amount),
		intoList(l.reader, "tags", &it.Tags, parseID),
		intoNew(l.reader, "stock_up_below", &it.StockUpBelow, amount),
		into(l.reader, "price_from", &it.PriceFrom, oneOf(pricesSeen...)),
	)
	if quantity != nil && weight_ != nil {
		l.fault(quantity, "keep the one the till rings", "an item has a quantity or a weight, not both")
	}
	if weight_ != nil && it.Sale != nil && it.Sale.For > 1 {
		l.fault(saleAt, "write the price of one unit of weight", "sale: weighed goods have no price for several")
	}
	if it.PriceFrom == "" {
		it.PriceFrom = FromHearsay
		if it.Sale != nil {
			it.PriceFrom = FromAdvert
		}
	}
	return it
}
