package planpage

import (
	"html"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"tillproof/fixtures/golden"
	"tillproof/fixtures/trip"
	"tillproof/money"
	"tillproof/plan"
	"tillproof/plan/split"
)

// TestFiles holds what is shown of the plans in each testdata/*.txtar to the
// sections named after it.
func TestFiles(t *testing.T) {
	golden.Run(t, "testdata/*.txtar", 5, func(t *testing.T, c *golden.Case) {
		plans := loadAll(t, c)
		compared := 0
		for _, name := range c.Names() {
			if got, ok := shown(t, name, plans); ok {
				compared++
				c.Compare(t, name, got)
			}
		}
		if compared == 0 {
			t.Error("nothing is compared")
		}
	})
}

func loadAll(t *testing.T, c *golden.Case) []Priced {
	t.Helper()
	var plans []Priced
	for _, name := range c.Names() {
		if !strings.HasSuffix(name, ".yaml") || strings.HasPrefix(name, "store") {
			continue
		}
		p, err := plan.Load(c.Text(t, name), name, c.Open)
		if err != nil {
			t.Fatal(err)
		}
		plans = append(plans, Priced{name, p, p.Price()})
	}
	return plans
}

func shown(t *testing.T, name string, plans []Priced) (string, bool) {
	t.Helper()
	p, b := plans[0].Plan, plans[0].Bill
	switch name {
	case "page.html":
		page, err := HTML(p, b)
		if err != nil {
			t.Fatal(err)
		}
		return page, true
	case "page.md":
		return Markdown(p, b), true
	case "compare.txt":
		return Compare(plans), true
	case "split.txt":
		return Split(split.BestSplit(p, split.Options{})), true
	case "cut.txt":
		return Split(split.BestSplit(p, split.Options{Effort: 1})), true
	case "fill.txt":
		return Fill(p, split.Fill(p)), true
	}
	return "", false
}

var (
	tag      = regexp.MustCompile(`<(/?)([a-z0-9]+)((?:\s+[a-z-]+(?:="[^"<>]*")?)*)>`)
	anyTag   = regexp.MustCompile(`<[^>]*>`)
	idAttr   = regexp.MustCompile(` id="([^"]*)"`)
	labelled = regexp.MustCompile(` aria-labelledby="([^"]*)"`)
	void     = []string{"meta", "br", "input"}
)

// checkPage holds a page to what a browser and a screen reader need: tags that
// are closed in order, headings without a gap, ids that are there once, labels on
// all that can be ticked, and nothing that runs or is fetched.
func checkPage(t *testing.T, page string) {
	t.Helper()
	body := regexp.MustCompile(`(?s)<style>.*?</style>`).ReplaceAllString(page, "")
	body = strings.TrimPrefix(body, "<!DOCTYPE html>")
	if n, m := len(anyTag.FindAllString(body, -1)), len(tag.FindAllString(body, -1)); n != m {
		t.Errorf("%d of %d tags are not written as they should be", n-m, n)
	}
	var open []string
	level := 0
	for _, m := range tag.FindAllStringSubmatch(body, -1) {
		name := m[2]
		switch {
		case m[1] == "/":
			if len(open) == 0 || open[len(open)-1] != name {
				t.Fatalf("</%s> closes %v", name, open)
			}
			open = open[:len(open)-1]
			continue
		case slices.Contains(void, name):
			if name == "input" && !slices.Contains(open, "label") {
				t.Error("an input has no label")
			}
			continue
		}
		open = append(open, name)
		if len(name) == 2 && name[0] == 'h' && name[1] <= '6' {
			if n := int(name[1] - '0'); n > level+1 {
				t.Errorf("a heading of level %d follows one of %d", n, level)
			} else {
				level = n
			}
		}
	}
	if len(open) > 0 {
		t.Errorf("not closed: %v", open)
	}
	ids := map[string]bool{}
	for _, m := range idAttr.FindAllStringSubmatch(body, -1) {
		if ids[m[1]] {
			t.Errorf("the id %s is there twice", m[1])
		}
		ids[m[1]] = true
	}
	for _, m := range labelled.FindAllStringSubmatch(body, -1) {
		if !ids[m[1]] {
			t.Errorf("nothing has the id %s", m[1])
		}
	}
	if strings.Count(body, "<h1>") != 1 || !strings.Contains(body, `<html lang="en">`) || regexp.MustCompile(`<script|\son[a-z]+=|src=|href=|url\(`).MatchString(page) {
		t.Error("a page has one heading of level 1, a language, and nothing that runs or is fetched")
	}
}

// TestAnyPlan shows made-up trips: pages that hold together, on which every item
// and every amount to pay stands.
func TestAnyPlan(t *testing.T) {
	for seed := range uint64(60) {
		p, err := trip.Full(seed).Plan()
		if err != nil {
			t.Fatal(err)
		}
		b := p.Price()
		page, err := HTML(p, b)
		if err != nil {
			t.Fatal(err)
		}
		checkPage(t, page)
		text := Markdown(p, b)
		for _, tx := range b.Transactions {
			for _, a := range []money.Amount{tx.OutOfPocket, tx.FinalCost, tx.CashDue} {
				if !strings.Contains(page, ">"+a.String()+"<") || !strings.Contains(text, "| "+a.String()+" |") {
					t.Errorf("seed %d: %s is missing", seed, a)
				}
			}
		}
		for _, tx := range p.Transactions {
			for _, it := range tx.Items {
				if !strings.Contains(page, html.EscapeString(it.Name)) || !strings.Contains(text, escape(it.Name)) {
					t.Errorf("seed %d: %s is missing", seed, it.Name)
				}
			}
		}
		for _, line := range strings.Split(Compare([]Priced{{"a.yaml", p, b}, {"b.yaml", p, b}}), "\n") {
			if utf8.RuneCountInString(line) > textWidth {
				t.Errorf("wider than %d: %q", textWidth, line)
			}
		}
	}
}

// TestHostileNames shows a plan whose words are markup of both kinds.
func TestHostileNames(t *testing.T) {
	const src = `plan: 1
store: "</title><script>alert(1)</script>"
transactions:
  - id: "\"><img src=x>"
    items:
      - {id: a, name: "<b onclick='x()'>**bold** [link](x) ` + "`code`" + ` a|b", shelf: 1.00}
offers:
  - {id: o, title: "</td></table><style>*{}</style>", carried_as: paper, terms: "&lt;script&gt; <!-- ", applies_to: [a], deduct: 0.50}
`
	p, err := plan.Load([]byte(src), "plan.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	page, err := HTML(p, p.Price())
	if err != nil {
		t.Fatal(err)
	}
	checkPage(t, strings.ReplaceAll(strings.ReplaceAll(page, "onclick=", ""), "src=", "")) // words of the plan, in text
	for _, bad := range []string{"<script", "<img", "<b ", "<!--"} {
		if strings.Contains(page, bad) {
			t.Errorf("the page has %s", bad)
		}
	}
	text := Markdown(p, p.Price())
	for _, bad := range []string{"**bold", "[link]", "`code", "a|b", " <b"} {
		if strings.Contains(strings.ReplaceAll(text, `\`+bad, ""), bad) {
			t.Errorf("the text has %s\n%s", bad, text)
		}
	}
}

// TestInTheEnd holds the items' shares together: with tax, fees and rounding
// they are the final cost, but where something comes back for items that are free.
func TestInTheEnd(t *testing.T) {
	checked := 0
	for seed := range uint64(200) {
		p, err := trip.Full(seed).Plan()
		if err != nil {
			t.Fatal(err)
		}
		for i, tb := range p.Price().Transactions {
			sum := money.Sum(inTheEnd(p, p.Transactions[i], tb)...)
			sum = money.Sum(sum, tb.Tax, tb.Fees, tb.Rounding)
			if sum == tb.FinalCost {
				checked++
			} else if len(tb.Credits)+len(tb.Rebates) == 0 {
				t.Errorf("seed %d, %s: the items come to %s, the transaction to %s", seed, tb.ID, sum, tb.FinalCost)
			}
		}
	}
	if checked < 250 {
		t.Errorf("only %d transactions add up", checked)
	}
}
