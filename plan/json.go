package plan

import (
	"encoding/json"
	"fmt"
	"strconv"

	"github.com/shopspring/decimal"
)

// billLine is BillLine without its methods.
type billLine BillLine

// lineJSON is a BillLine as it is written: what was bought stands in either of
// two forms, as text like all numbers that a receipt prints.
type lineJSON struct {
	Item     string `json:"item"`
	Quantity string `json:"quantity,omitempty"`
	Weight   string `json:"weight,omitempty"`
	Unit     string `json:"unit,omitempty"`
	*billLine
}

// MarshalJSON writes the quantity, or weight and unit, as text.
func (l BillLine) MarshalJSON() ([]byte, error) {
	j := lineJSON{Item: l.Item, billLine: (*billLine)(&l)}
	if l.Weight != nil {
		j.Weight, j.Unit = WeightText(*l.Weight), l.Unit
	} else {
		j.Quantity = strconv.Itoa(l.Quantity)
	}
	return json.Marshal(j)
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (l *BillLine) UnmarshalJSON(b []byte) error {
	var line billLine
	j := lineJSON{billLine: &line}
	if err := json.Unmarshal(b, &j); err != nil {
		return err
	}
	line.Item, line.Unit = j.Item, j.Unit
	line.Quantity = 1
	switch {
	case j.Weight != "":
		w, err := decimal.NewFromString(j.Weight)
		if err != nil {
			return fmt.Errorf("weight of %s: %w", j.Item, err)
		}
		line.Weight = &w
	default:
		q, err := strconv.Atoi(j.Quantity)
		if err != nil {
			return fmt.Errorf("quantity of %s: %w", j.Item, err)
		}
		line.Quantity = q
	}
	*l = BillLine(line)
	return nil
}
