package plan_test

import (
	"fmt"
	"strings"

	"pgregory.net/rapid"
)

// randomPlan draws the text of a plan with its store file, of everything that
// changes a sum. Prices are small and offers large, so that limits are met.
type randomPlan struct {
	*rapid.T
	plan, store string
	items       []string
	credits     []string
}

func drawPlan(t *rapid.T) (plan, store string) {
	r := &randomPlan{T: t}
	r.storeFile()
	r.write("plan: 1\nstore: {file: store.yaml}\ndate: 2026-06-02\n")
	if r.yes("taxed") {
		r.write("tax:\n")
		for range r.upTo(1, 2, "taxes") {
			r.write("  - {rate: %s, items: [%s], basis: %s, maker_coupons: %s}\n", r.of("rate", "6.25%", "8%", "6.5%", "13%"),
				r.of("taxable", "a", "b", "hot, c", "a, b, c"), r.of("basis", "transaction", "item"), r.of("coupons", "taxed", "untaxed"))
		}
	}
	n := r.upTo(1, 3, "transactions")
	r.write("transactions:\n")
	for i := range n {
		r.transaction(i)
	}
	r.write("offers:\n")
	for i := range r.upTo(0, 7, "offers") {
		r.offer(i)
	}
	return r.plan, r.store
}

func (r *randomPlan) write(format string, args ...any) { r.plan += fmt.Sprintf(format, args...) }

func (r *randomPlan) of(label string, choices ...string) string {
	return rapid.SampledFrom(choices).Draw(r.T, label)
}
func (r *randomPlan) upTo(low, high int, label string) int {
	return rapid.IntRange(low, high).Draw(r.T, label)
}
func (r *randomPlan) yes(label string) bool { return rapid.Bool().Draw(r.T, label) }

func (r *randomPlan) money(low, high int, label string) string {
	c := r.upTo(low, high, label)
	return fmt.Sprintf("%d.%02d", c/100, c%100)
}

func (r *randomPlan) storeFile() {
	if !r.yes("policy") {
		r.store = "name: Cove Foods\n"
		return
	}
	r.store = fmt.Sprintf("policy: {measure: %s, app_with_store_coupon: %s, coupon_on_free_unit: %s, overage: %s, percent_rounding: %s, order: [%s]%s}\n",
		r.of("measure", "shelf", "sale", "after shelf offers", "after store offers", "net"), r.of("app", "yes", "no"),
		r.of("free unit", "yes", "no"), r.of("overage", "yes", "no"), r.of("rounding", "line", "unit"),
		r.of("order", "shelf, store, maker", "maker, store, shelf", "store, shelf, maker"), r.of("cash", "", ", cash_rounding: 0.05"))
}

func (r *randomPlan) transaction(i int) {
	r.write("  - id: t%d\n    pay_with: [%s]\n", i, r.of("pay", "card", "cash", "gift card", "points, card"))
	if r.yes("own date") {
		r.write("    date: 2026-06-%02d\n", r.upTo(1, 4, "day"))
	}
	r.write("    items:\n")
	for k := range r.upTo(1, 4, "items") {
		id := string(rune('a' + k))
		if r.upTo(0, 9, "weighed") == 0 {
			r.write("      - {id: %s, name: %s, weight: %s lb, shelf: %s, tags: [hot]}\n", id, id, r.of("weight", "0.35", "1.24", "2.005"), r.money(50, 900, "per lb"))
			continue
		}
		sale := r.of("sale form", "", "", "each", "for", "must")
		switch sale {
		case "each":
			sale = ", sale: " + r.money(1, 700, "sale")
		case "for":
			sale = fmt.Sprintf(", sale: %d for %s", r.upTo(2, 5, "for"), r.money(10, 1500, "sale"))
		case "must":
			sale = fmt.Sprintf(", sale: %d for %s must buy %d", r.upTo(1, 4, "for"), r.money(10, 1200, "sale"), r.upTo(2, 4, "must"))
		}
		r.write("      - {id: %s, name: %s, quantity: %d, shelf: %s%s, fee: %s, tags: [%s]}\n", id, id, r.upTo(1, 7, "quantity"),
			r.money(0, 900, "shelf"), sale, r.of("fee", "0.00", "0.00", "0.10"), r.of("tag", "hot", "cold"))
	}
	if i == 0 { // every word an offer may name is known
		r.write("      - {id: d0, name: d0, quantity: 2, shelf: 1.00, tags: [hot, cold, a, b, c, d]}\n")
	}
}

func (r *randomPlan) offer(i int) {
	f := []string{
		fmt.Sprintf("id: o%d, title: o%d, applies_to: [%s]", i, i, r.of("applies", "a", "b", "a, b", "hot", "hot, a", "cold, b, c", "d0")),
		"funded_by: " + r.of("funded", "store", "maker"),
		"carried_as: " + r.of("carried", "shelf", "paper", "print", "app", "loyalty"),
	}
	add := func(format string, args ...any) { f = append(f, fmt.Sprintf(format, args...)) }
	spend := r.upTo(0, 2, "spend") == 0
	buy := 1
	if spend {
		add("spend: %s", r.money(1, 2500, "spend"))
		if m := r.of("measure", "", "", "shelf", "sale", "after shelf offers", "after store offers", "net"); m != "" {
			add("measure: %s", m)
		}
	} else if buy = r.upTo(1, 4, "buy"); r.yes("buy said") || buy > 1 {
		add("buy: %d", buy)
	}
	percent := false
	switch r.upTo(0, 5, "gives") {
	default:
		value := r.of("deduct", "amount", "amount", "percent", "percent", "free", "to")
		percent = value == "percent"
		switch {
		case value == "percent":
			add("deduct: %s", r.of("percent", "50%", "40%", "15%", "33%", "100%", "12.5%", "1%"))
		case value == "free" && !spend:
			add("deduct: free")
		case value == "to" && !spend:
			add("deduct: to %s", r.money(0, 400, "to"))
		default:
			add("deduct: %s", r.money(1, 500, "off"))
		}
		if !spend && r.yes("reduces") {
			add("reduces: %d", r.upTo(1, buy, "reduced"))
		}
	case 4:
		value := r.money(1, 400, "credit")
		if percent = spend && r.yes("percent credit"); percent {
			value = r.of("percent", "10%", "5%", "33%")
		}
		add("credit: {kind: %s, value: %s}", r.of("kind", "gift card", "points", "store credit"), value)
		if r.yes("void") {
			add("void_if_paid_with: [%s]", r.of("void kind", "gift card", "points", "cash"))
		}
	case 5:
		value := r.of("rebate value", "0.75", "paid", "2.00")
		most := r.of("at most", "", ", at_most: 3.00")
		add("rebate: {value: %s%s, submit_within: 14 days}", value, most)
	}
	if !(spend && percent) && r.yes("repeats said") {
		add("repeats: %s", r.of("repeats", "yes", "no"))
	}
	if r.upTo(0, 2, "held") == 0 {
		add("held: %d", r.upTo(0, 4, "coupons"))
	}
	if r.upTo(0, 2, "limit") == 0 {
		add("limit: {%s: %d}", r.of("limit of", "per_transaction", "transactions_per_day", "total"), r.upTo(1, 3, "limit"))
	}
	if r.upTo(0, 5, "valid") == 0 {
		add("valid: {from: 2026-06-%02d, through: 2026-06-%02d}", r.upTo(1, 2, "from"), r.upTo(2, 4, "through"))
	}
	r.write("  - {%s}\n", strings.Join(f, ", "))
}
