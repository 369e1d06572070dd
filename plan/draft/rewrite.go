package draft

import (
	"errors"
	"fmt"
	"strings"

	"tillproof/plan"

	"go.yaml.in/yaml/v4"
)

// Rewrite writes the transactions of p in place of those of the plan file src,
// of which p is another division; the rest of the file stays as it is, comments
// included. open reads the store file. It fails where the result would not be p.
func Rewrite(src []byte, p *plan.Plan, open func(path string) ([]byte, error)) ([]byte, error) {
	root, err := plan.Parse(src, p.File)
	if err != nil {
		return nil, err
	}
	from, to, err := blockOf(root, "transactions", strings.Count(string(src), "\n")+2)
	if err != nil {
		return nil, err
	}
	lines := strings.Split(string(src), "\n")
	to = min(to, len(lines)+1)
	for to > from+1 && aside(lines[to-2]) { // comments above the next field are its
		to--
	}
	var out strings.Builder
	out.WriteString(strings.Join(lines[:from-1], "\n"))
	if from > 1 {
		out.WriteByte('\n')
	}
	out.WriteString("transactions:\n")
	for _, tx := range p.Transactions {
		writeTransaction(&out, tx)
	}
	out.WriteString(strings.Join(lines[to-1:], "\n"))
	text := []byte(out.String())
	again, err := plan.Load(text, p.File, open)
	if err != nil {
		return nil, fmt.Errorf("the transactions cannot be written in the place of the old ones: %w", err)
	}
	if again.Price().FinalCost != p.Price().FinalCost {
		return nil, errors.New("the transactions cannot be written in the place of the old ones: the plan would come to something else")
	}
	return text, nil
}

// aside reports whether a line is blank or a comment at the margin.
func aside(line string) bool {
	return strings.TrimSpace(line) == "" || strings.HasPrefix(line, "#")
}

// blockOf is the line that a field of the plan begins in, and that in which the
// next one does, end where it is the last.
func blockOf(root *yaml.Node, key string, end int) (from, to int, err error) {
	if root.Kind != yaml.MappingNode || root.Style&yaml.FlowStyle != 0 {
		return 0, 0, errors.New("the plan's fields stand in {…}; write each on a line of its own")
	}
	to = end
	for i := 0; i+1 < len(root.Content); i += 2 {
		switch k := root.Content[i]; {
		case k.Value == key:
			from = k.Line
		case from > 0 && k.Line > from:
			return from, min(to, k.Line), nil
		}
	}
	if from == 0 {
		return 0, 0, errors.New("the plan has no " + key)
	}
	return from, to, nil
}

func writeTransaction(out *strings.Builder, tx *plan.Transaction) {
	fmt.Fprintf(out, "  - id: %s\n", scalar(tx.ID))
	if !tx.Date.IsZero() {
		fmt.Fprintf(out, "    date: %s\n", tx.Date)
	}
	var pays []string
	for _, pay := range tx.PayWith {
		switch {
		case pay.Credit != nil:
			pays = append(pays, fmt.Sprintf("{credit: %s, amount: %s}", scalar(pay.Credit.ID), pay.Amount))
		case pay.Held:
			pays = append(pays, fmt.Sprintf("{held: %s, amount: %s}", pay.Kind, pay.Amount))
		default:
			pays = append(pays, pay.Kind)
		}
	}
	fmt.Fprintf(out, "    pay_with: [%s]\n    items:\n", strings.Join(pays, ", "))
	for _, it := range tx.Items {
		writeItem(out, it)
	}
	if len(tx.Candidates) > 0 {
		out.WriteString("    candidates:\n")
	}
	for _, it := range tx.Candidates {
		writeItem(out, it)
	}
}

func writeItem(out *strings.Builder, it *plan.Item) {
	e := &entry{id: it.ID}
	e.add("name", "%s", scalar(it.Name))
	if it.Code != "" {
		e.add("code", "%q", it.Code)
	}
	if len(it.PrintsAs) > 0 {
		e.add("prints_as", "%s", list(it.PrintsAs))
	}
	if it.Weight != nil {
		e.add("weight", "%s %s", plan.WeightText(*it.Weight), it.Unit)
	} else if it.Quantity > 1 {
		e.add("quantity", "%d", it.Quantity)
	}
	e.add("shelf", "%s", it.Shelf)
	usual := plan.FromHearsay
	if s := it.Sale; s != nil {
		usual = plan.FromAdvert
		text := s.Price.String()
		if s.For > 1 || s.MustBuy > 0 {
			text = fmt.Sprintf("%d for %s", s.For, s.Price)
		}
		if s.MustBuy > 0 {
			text += fmt.Sprintf(" must buy %d", s.MustBuy)
		}
		e.add("sale", "%s", text)
	}
	if !it.Fee.IsZero() {
		e.add("fee", "%s", it.Fee)
	}
	if len(it.Tags) > 0 {
		e.add("tags", "%s", list(it.Tags))
	}
	if it.StockUpBelow != nil {
		e.add("stock_up_below", "%s", it.StockUpBelow)
	}
	if it.PriceFrom != usual {
		e.add("price_from", "%s", it.PriceFrom)
	}
	fmt.Fprintf(out, "      - {id: %s%s}\n", scalar(e.id), inFlow(e.fields))
}
