package schema_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tillproof/fixtures/trip"
	"tillproof/plan"
	"tillproof/plan/schema"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v4"
)

func compile(t *testing.T, text string) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource("schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("schema.json") // refuses what is no draft 2020-12 schema
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// instance is a YAML file as an editor sees it: values of the core schema of
// YAML 1.2. It is nil with ok false where the file is no YAML.
func instance(src []byte) (v any, ok bool) {
	var doc yaml.Node
	if err := yaml.Load(src, &doc); err != nil || len(doc.Content) != 1 {
		return nil, false
	}
	return ofNode(doc.Content[0], 0), true
}

func ofNode(n *yaml.Node, depth int) any {
	if depth > 60 {
		return nil
	}
	switch n.Kind {
	case yaml.AliasNode:
		return ofNode(n.Alias, depth+1)
	case yaml.MappingNode:
		m := map[string]any{}
		for i := 0; i+1 < len(n.Content); i += 2 {
			m[n.Content[i].Value] = ofNode(n.Content[i+1], depth+1)
		}
		return m
	case yaml.SequenceNode:
		list := []any{}
		for _, c := range n.Content {
			list = append(list, ofNode(c, depth+1))
		}
		return list
	}
	switch n.Tag {
	case "!!null":
		return nil
	case "!!bool":
		return n.Value == "true"
	case "!!int", "!!float":
		text := n.Value
		if trimmed := strings.TrimLeft(text, "0"); trimmed != text {
			text = "0" + trimmed
			if trimmed != "" && trimmed[0] != '.' {
				text = trimmed
			}
		}
		if strings.HasPrefix(text, ".") {
			text = "0" + text
		}
		if json.Valid([]byte(text)) {
			return json.Number(text)
		}
	}
	return n.Value
}

// repoFile is a plan or store file somewhere in the repository's tests.
type repoFile struct {
	name string
	src  []byte
	open func(path string) ([]byte, error)
}

func repoFiles(t *testing.T) []repoFile {
	t.Helper()
	var all []repoFile
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && strings.HasPrefix(d.Name(), ".git"):
			return filepath.SkipDir
		case strings.HasSuffix(path, ".yaml"):
			src, err := os.ReadFile(path)
			all = append(all, repoFile{path, src, func(p string) ([]byte, error) { return os.ReadFile(filepath.Join(filepath.Dir(path), p)) }})
			return err
		case strings.HasSuffix(path, ".txtar"):
			ar, err := txtar.ParseFile(path)
			if err != nil {
				return err
			}
			files := map[string][]byte{}
			for _, f := range ar.Files {
				files[f.Name] = f.Data
			}
			for _, f := range ar.Files {
				if strings.HasSuffix(f.Name, ".yaml") {
					all = append(all, repoFile{path + "/" + f.Name, f.Data, func(p string) ([]byte, error) {
						if b, ok := files[p]; ok {
							return b, nil
						}
						return nil, fs.ErrNotExist
					}})
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for seed := range uint64(150) {
		trip := trip.Full(seed)
		all = append(all, repoFile{fmt.Sprint("trip ", seed), []byte(trip.YAML), func(p string) ([]byte, error) { return []byte(trip.Files[p]), nil }})
	}
	return all
}

// TestGood holds every plan of the repository's tests that loads, and the store
// files that it names, to the schemas.
func TestGood(t *testing.T) {
	plans, stores := compile(t, schema.Plan), compile(t, schema.Store)
	good, goodStores := 0, 0
	for _, f := range repoFiles(t) {
		var read [][]byte
		p, err := plan.Load(f.src, f.name, func(path string) ([]byte, error) {
			b, err := f.open(path)
			read = append(read, b)
			return b, err
		})
		if p == nil || err != nil {
			continue
		}
		good++
		v, _ := instance(f.src)
		if err := plans.Validate(v); err != nil {
			t.Errorf("%s loads, and the schema refuses it: %v", f.name, err)
		}
		for _, src := range read {
			goodStores++
			v, _ := instance(src)
			if err := stores.Validate(v); err != nil {
				t.Errorf("the store file of %s loads, and the schema refuses it: %v", f.name, err)
			}
		}
	}
	t.Logf("%d plans, %d store files", good, goodStores)
	if good < 200 || goodStores < 20 {
		t.Errorf("only %d plans and %d store files found", good, goodStores)
	}
}

// beyond are the bad plans whose faults no schema can see, and why.
var beyond = map[string]string{
	"pay_too_much":  "what is left of a credit is a sum",
	"too_much":      "what a transaction comes to is a sum",
	"store_missing": "whether a file is there",
	"twice":         "ids that are there twice, keys that an editor merges",
	"unknown_word":  "whether an id is in the plan",
	"too_large":     "a value that is a sum",
}

// TestBad holds each bad plan of package plan to the schema: its shape must be
// refused, but for the few whose fault is none of shape.
func TestBad(t *testing.T) {
	plans := compile(t, schema.Plan)
	files, err := filepath.Glob("../testdata/*.bad.yaml")
	if err != nil || len(files) < 20 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	refused := 0
	for _, name := range files {
		short := strings.TrimSuffix(filepath.Base(name), ".bad.yaml")
		src, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		v, ok := instance(src)
		if !ok {
			continue // no YAML: the editor says so before any schema
		}
		err = plans.Validate(v)
		if why, listed := beyond[short]; listed != (err == nil) {
			t.Errorf("%s: the schema says %v; listed as beyond it: %v %s", short, err, listed, why)
		}
		if err != nil {
			refused++
		}
	}
	if refused < 15 {
		t.Errorf("only %d bad plans refused", refused)
	}
	src, err := os.ReadFile("../testdata/faulty.store.yaml")
	if err != nil {
		t.Fatal(err)
	}
	v, _ := instance(src)
	if err := compile(t, schema.Store).Validate(v); err == nil {
		t.Error("the schema takes the faulty store file")
	}
}

const everything = `
plan: 1
store: Cove Foods
date: 2026-05-09
currency: USD
tax: [{rate: 6.25%, items: [hot], maker_coupons: untaxed, basis: item}, {rate: 1%}]
transactions:
  - id: first
    date: 2026-05-09
    pay_with: [gift card, {held: points, amount: 1.00}]
    items:
      - {id: a, name: a, code: 036000291452, prints_as: [AA], quantity: 3, shelf: 4.29, sale: 3 for 10.00 must buy 3, fee: 0.10, tags: [hot], stock_up_below: 3.00, price_from: label}
      - {id: b, name: b, weight: 1.24 lb, shelf: 2.99, sale: 1.99}
    candidates: [{id: c, name: c, shelf: 1.00}]
    claimed: {out_of_pocket: 20.00, final_cost: -1.00, per_unit: 2.00}
  - id: second
    pay_with: [{credit: card, amount: 1.00}, card]
    items: [{id: a, name: a, shelf: 4.29}]
offers:
  - {id: ded, title: t, applies_to: [a], funded_by: maker, carried_as: paper, buy: 2, deduct: 50%, reduces: cheapest, held: 2, limit: {per_transaction: 1, transactions_per_day: 6, total: 9}, valid: {from: 2026-05-01, through: 2026-05-31}, repeats: no, seen_values: [1.00, free], coupon_code: "(8110)10614141011111275110111", terms: words, proof: a.png, seen_on: 2026-05-01}
  - {id: card, title: t, applies_to: [hot], spend: 5.00, measure: net, credit: {kind: points, value: 2.00, points: 2000, expires_after: 60 days, shows: slip}, void_if_paid_with: [cash, {credit: card}]}
  - {id: back, title: t, applies_to: [b], rebate: {value: paid, at_most: 3.00, submit_within: 14 days}, claim_to: maker, accumulates: {from: 2026-05-01}, spend: 9.00}
claimed: {final_cost: 9.00}
`

// unseen are parts of the messages of faults that no schema can see, or that it
// leaves to package plan: whether an id is there, sums, exact ranges.
var unseen = []string{
	"there is no item or tag", "there is no offer", "gives no credit", "is left of it then", "there are two offers", "has two items",
	"of a use of", "is after through", "comes to more than",
	`"1.234" is no amount of money`, "characters", "is no coupon code", "is no package code", "is no weight above 0", "is no whole number",
}

// TestChanged changes a plan that says everything, value by value and key by
// key. What the schema then refuses must not load: it may never be stricter.
// And it must see all else that does not load but what unseen lists. (A name that is the bare word null
// is the one text that loads and is refused; it is left out here.)
func TestChanged(t *testing.T) {
	c := &changer{T: t, plans: compile(t, schema.Plan)}
	if err := yaml.Load([]byte(everything), &c.doc); err != nil {
		t.Fatal(err)
	}
	if _, err := plan.Load([]byte(everything), "plan.yaml", nil); err != nil {
		t.Fatal(err)
	}
	c.change(c.doc.Content[0], "")
	t.Logf("%d changed plans, %d do not load, of which the schema refuses %d", c.tried, c.bad, c.caught)
	for _, m := range c.missed {
		if !slices.ContainsFunc(unseen, func(part string) bool { return strings.Contains(m, part) }) {
			t.Errorf("the schema takes %s", m)
		}
	}
	if c.tried < 2000 || c.caught*100 < c.bad*85 {
		t.Errorf("the schema refuses only %d of %d bad plans of %d", c.caught, c.bad, c.tried)
	}
}

// values are what is put in the place of others.
var values = []string{
	"0", "1", "2", "-1", "1.5", "0.00", "4.29", ".75", "1.234", "99999999999", "007", "yes", "true", "false", "no", "free", "to 3.00", "to", "paid", "50%", "0%",
	"120%", "6.25", "'%'", "2 for 5.00", "2 for 5.00 must buy 2", "for 5", "2026-05-09", "2026-13-09", "2026-5-9", "60 days", "1 day", "0 days", "days", "1.24 lb", "1.24", "0 lb", "5 stone",
	"card", "cash", "store credit", "gift card", "points", "all", "cheapest", "shelf", "sale", "net", "maker", "store", "paper", "slip", "label", "USD", "usd", "''", "[]", "{}", "[a]", "{a: b}",
	"'  4.29 '", "'6.25% '", "a", "hot", "036000291452", "012345678905", "123", "x y z",
}

// changer changes a plan and compares what the loader and the schema say of it.
type changer struct {
	*testing.T
	plans              *jsonschema.Schema
	doc                yaml.Node
	tried, bad, caught int
	missed             []string
}

func (c *changer) check(what string) {
	src, err := yaml.Dump(c.doc.Content[0])
	if err != nil {
		c.Fatal(err)
	}
	v, ok := instance(src)
	if !ok {
		return
	}
	_, loadErr := plan.Load(src, "plan.yaml", nil)
	schemaErr := c.plans.Validate(v)
	c.tried++
	var faults plan.Errors
	switch {
	case loadErr == nil && schemaErr != nil:
		c.Errorf("%s loads, and the schema refuses it: %v", what, schemaErr)
	case loadErr == nil:
	case !errors.As(loadErr, &faults):
		c.Fatal(loadErr)
	default:
		c.bad++
		if schemaErr != nil {
			c.caught++
		} else {
			c.missed = append(c.missed, what+": "+faults[0].Msg)
		}
	}
}

// change puts other values in the place of n, one after the other, then changes
// what is in it, and takes that out.
func (c *changer) change(n *yaml.Node, path string) {
	was := *n
	for i, value := range values {
		if (i+len(path))%3 > 0 {
			continue // a third of them is enough, other ones at other places
		}
		var other yaml.Node
		if err := yaml.Load([]byte(value), &other); err != nil {
			c.Fatal(value, err)
		}
		*n = *other.Content[0]
		c.check(path + " = " + value)
	}
	*n = was
	step := 1
	if n.Kind == yaml.MappingNode {
		step = 2
	}
	for i := 0; i < len(n.Content); i += step {
		name, value := fmt.Sprint(i), n.Content[i]
		if step == 2 {
			name, value = n.Content[i].Value, n.Content[i+1]
			n.Content[i].Value = "x" + name
			c.check(path + " with x before " + name)
			n.Content[i].Value = name
		}
		c.change(value, path+"/"+name)
	}
	content := n.Content
	for i := 0; i < len(content); i += step {
		n.Content = slices.Delete(slices.Clone(content), i, i+step)
		c.check(path + " without " + content[i].Value)
	}
	n.Content = content
}
