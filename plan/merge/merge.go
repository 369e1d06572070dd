// Package merge lays a reader's own plan file, which holds only what differs,
// over a plan that somebody else wrote.
//
// Load is the function to read first. The two are put together by id before
// anything is validated, and every fault keeps the file and line it is in.
package merge

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"

	"tillproof/plan"

	"go.yaml.in/yaml/v4"
)

// Source is one plan file.
type Source struct {
	File string
	Src  []byte
	// Open reads a store file that this plan file names.
	Open func(path string) ([]byte, error)
}

// Load reads the plan base with what mine says in its place, and validates the
// result. The error is of type plan.Errors.
//
// A field of mine takes the place of the same field in base; one without a value
// takes it out. Transactions, items, candidates and offers are found by their
// id: one that base has is changed field by field, or taken out with remove: yes;
// any other is added at the end. Other lists are replaced as a whole. Where a
// field excludes another (deduct, credit, rebate; buy, spend; quantity, weight;
// submit_by, submit_within), that of mine drops that of base. The claimed figures
// of base are dropped, since they were not worked out with what mine says.
func Load(base, mine Source) (*plan.Plan, error) {
	b, err := plan.Parse(base.Src, base.File)
	m, err2 := plan.Parse(mine.Src, mine.File)
	if faults := append(asErrors(err), asErrors(err2)...); len(faults) > 0 {
		return nil, faults
	}
	g := &merger{base: base.File, mine: mine.File, ofMine: map[*yaml.Node]bool{}}
	g.mark(m)
	root := g.merge(withoutClaims(b), m, "a plan")
	open := base.Open
	if at := value(value(root, "store"), "file"); at != nil && g.ofMine[at] {
		open = mine.Open
	}
	p, err := plan.LoadNode(root, base.File, g.fileOf, open)
	if faults := append(g.faults, asErrors(err)...); len(faults) > 0 {
		slices.SortStableFunc(faults, func(a, b *plan.Error) int { return g.order(a.Pos, b.Pos) })
		return nil, faults
	}
	return p, nil
}

// order is that of base's places before those of mine.
func (g *merger) order(a, b plan.Pos) int {
	if a.File != b.File {
		switch {
		case a.File == g.base, b.File == g.mine:
			return -1
		case b.File == g.base, a.File == g.mine:
			return 1
		}
	}
	return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Col, b.Col))
}

func asErrors(err error) plan.Errors {
	var list plan.Errors
	if err != nil && !errors.As(err, &list) {
		list = plan.Errors{{Msg: err.Error()}}
	}
	return list
}

// merger is the state of one Load.
type merger struct {
	base, mine string
	ofMine     map[*yaml.Node]bool
	faults     plan.Errors
}

func (g *merger) fileOf(n *yaml.Node) string {
	if g.ofMine[n] {
		return g.mine
	}
	return ""
}

// mark notes the nodes of mine. What an alias repeats is marked where it stands.
func (g *merger) mark(n *yaml.Node) {
	g.ofMine[n] = true
	for _, c := range n.Content {
		g.mark(c)
	}
}

func (g *merger) fault(n *yaml.Node, hint, format string, args ...any) {
	pos := plan.Pos{File: g.mine, Line: n.Line, Col: n.Column}
	g.faults = append(g.faults, &plan.Error{Pos: pos, Msg: fmt.Sprintf(format, args...), Hint: hint})
}

// byID are the lists whose entries have ids: what an entry is called, and the
// field without which it can only be meant to change one of base.
var byID = map[string]struct{ what, needs string }{
	"transactions": {"transaction", "items"},
	"items":        {"item", "name"},
	"candidates":   {"item", "name"},
	"offers":       {"offer", "title"},
}

// exclusive are fields of which an entry has one at most.
var exclusive = [][]string{
	{"deduct", "credit", "rebate"}, {"buy", "spend"}, {"quantity", "weight"}, {"submit_by", "submit_within"},
}

// merge lays over on base; key is that of both. It changes neither: an alias may
// repeat them elsewhere.
func (g *merger) merge(base, over *yaml.Node, key string) *yaml.Node {
	base, over = follow(base), follow(over)
	_, list := byID[key]
	switch {
	case base.Kind == yaml.MappingNode && over.Kind == yaml.MappingNode:
		return g.mergeFields(base, over)
	case list && null(over):
		return base
	case list && base.Kind == yaml.SequenceNode && over.Kind == yaml.SequenceNode:
		return g.mergeList(base, over, key)
	}
	return over
}

func (g *merger) mergeFields(base, over *yaml.Node) *yaml.Node {
	merged := *base
	merged.Content = nil
	used := map[*yaml.Node]bool{} // keys of over
	places := map[string]int{}
	for i := len(over.Content) - 2; i >= 0; i -= 2 {
		places[over.Content[i].Value] = i
	}
	for i := 0; i+1 < len(base.Content); i += 2 {
		key := base.Content[i]
		at, ok := places[key.Value]
		switch {
		case !ok && displaced(over, key.Value):
		case !ok:
			merged.Content = append(merged.Content, key, base.Content[i+1])
		case used[over.Content[at]]: // base has the key twice: that is reported
			merged.Content = append(merged.Content, key, base.Content[i+1])
		default:
			used[over.Content[at]] = true
			if _, list := byID[key.Value]; list || !null(follow(over.Content[at+1])) {
				merged.Content = append(merged.Content, key, g.merge(base.Content[i+1], over.Content[at+1], key.Value))
			}
		}
	}
	for i := 0; i+1 < len(over.Content); i += 2 {
		if !used[over.Content[i]] {
			merged.Content = append(merged.Content, over.Content[i], over.Content[i+1])
		}
	}
	return &merged
}

// displaced reports whether over has a field that excludes key.
func displaced(over *yaml.Node, key string) bool {
	for _, set := range exclusive {
		if slices.Contains(set, key) && slices.ContainsFunc(set, func(k string) bool {
			v := value(over, k)
			return v != nil && !null(v)
		}) {
			return true
		}
	}
	return false
}

func (g *merger) mergeList(base, over *yaml.Node, key string) *yaml.Node {
	merged := *base
	merged.Content = slices.Clone(base.Content)
	at := map[string]int{}
	var ids []string
	for i, entry := range base.Content {
		if id := idOf(entry); id != "" {
			if _, twice := at[id]; !twice {
				at[id] = i
				ids = append(ids, id)
			}
		}
	}
	removed := map[int]bool{}
	for _, entry := range over.Content {
		id := idOf(entry)
		i, known := at[id]
		delete(at, id) // a second entry with the id is added, and reported as twice there
		remove := g.remove(entry)
		switch {
		case known && remove:
			removed[i] = true
		case known:
			merged.Content[i] = g.merge(merged.Content[i], entry, "")
		case g.lost(entry, id, key, remove, ids):
		default:
			merged.Content = append(merged.Content, entry)
		}
	}
	kept := merged.Content[:0:0]
	for i, entry := range merged.Content {
		if !removed[i] {
			kept = append(kept, entry)
		}
	}
	merged.Content = kept
	return &merged
}

// remove reports whether entry says that it is to be taken out.
func (g *merger) remove(entry *yaml.Node) bool {
	v := value(entry, "remove")
	if v == nil {
		return false
	}
	if v.Value != "yes" && v.Value != "true" {
		g.fault(v, "write remove: yes, or leave it out", "remove: it cannot be %s", strconv.Quote(v.Value))
	}
	return true
}

// lost reports, as a fault, that entry changes something that base does not have.
func (g *merger) lost(entry *yaml.Node, id, key string, remove bool, ids []string) bool {
	list := byID[key]
	if id == "" || !remove && value(entry, list.needs) != nil {
		return false
	}
	hint := "add " + list.needs + ": … and the rest if it is one of your own, or leave it out"
	if remove {
		hint = "leave it out"
	}
	if near := plan.Nearest(id, ids); near != "" {
		hint = "did you mean " + near + "?"
	}
	g.fault(value(entry, "id"), hint, "there is no %s %s in %s", list.what, strconv.Quote(id), g.base)
	return true
}

// withoutClaims is the plan n without what its writer claims it comes to.
func withoutClaims(n *yaml.Node) *yaml.Node {
	n = follow(n)
	if n.Kind != yaml.MappingNode {
		return n
	}
	c := *n
	c.Content = nil
	for i := 0; i+1 < len(n.Content); i += 2 {
		v := n.Content[i+1]
		switch list := follow(v); {
		case n.Content[i].Value == "claimed":
			continue
		case n.Content[i].Value == "transactions" && list.Kind == yaml.SequenceNode:
			txs := *list
			txs.Content = nil
			for _, tx := range list.Content {
				txs.Content = append(txs.Content, withoutClaims(tx))
			}
			v = &txs
		}
		c.Content = append(c.Content, n.Content[i], v)
	}
	return &c
}

func follow(n *yaml.Node) *yaml.Node {
	for n.Kind == yaml.AliasNode {
		n = n.Alias
	}
	return n
}

// null reports whether n is no value: left out, null or ~.
func null(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.Tag == "!!null" }

// index is where in the mapping n key is, -1 where it is not.
func index(n *yaml.Node, key string) int {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Kind == yaml.ScalarNode && n.Content[i].Value == key {
			return i
		}
	}
	return -1
}

// value is what the mapping n has for key, nil where it has nothing.
func value(n *yaml.Node, key string) *yaml.Node {
	if n == nil {
		return nil
	}
	if n = follow(n); n.Kind != yaml.MappingNode {
		return nil
	}
	if i := index(n, key); i >= 0 {
		return follow(n.Content[i+1])
	}
	return nil
}

func idOf(entry *yaml.Node) string {
	if id := value(entry, "id"); id != nil && id.Kind == yaml.ScalarNode {
		return id.Value
	}
	return ""
}
