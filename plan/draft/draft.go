// Package draft makes plan files to go on from: a commented one to fill in, one
// of a typed list, one of a receipt that was read.
//
// New, FromBasket and FromResult are the functions to read first. What they
// return is YAML that loads without a fault, and says of every part of the input
// what it was taken for, or that it was not understood.
package draft

import (
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"tillproof/money"
	"tillproof/plan"

	"go.yaml.in/yaml/v4"
)

//go:embed new.yaml
var newPlan []byte

// New is a plan to start from, with a comment on everything that most plans need.
func New() []byte { return slices.Clone(newPlan) }

// Draft is a plan file made of something else.
type Draft struct {
	// YAML is the plan; what was not understood stands at its head as comments.
	YAML []byte
	// Understood says what each part was taken for, NotUnderstood which parts are
	// not in the plan, and why. Both are in the order of the input's lines.
	Understood, NotUnderstood []Note
}

// Note is about one part of the input.
type Note struct {
	Line int // from 1
	Part string
	Text string
}

// field is one key of the plan with its value as YAML.
type field struct{ key, value string }

// entry is an item or an offer of the draft.
type entry struct {
	note   Note // where it comes from
	id     string
	called string // an item's name as it was typed or printed
	fields []field
	remark string // a comment behind it
}

func (e *entry) add(key, format string, args ...any) {
	e.fields = append(e.fields, field{key, fmt.Sprintf(format, args...)})
}

// transaction is one of the draft's.
type transaction struct {
	id, payWith string
	items       []*entry
}

// book is a draft that is being written.
type book struct {
	remarks      []string
	head         []field // store, date, currency, tax
	transactions []*transaction
	offers       []*entry
	yes, no      []Note
}

func (b *book) understood(n Note, format string, args ...any) {
	n.Text = fmt.Sprintf(format, args...)
	b.yes = append(b.yes, n)
}

func (b *book) refused(n Note, format string, args ...any) {
	n.Text = fmt.Sprintf(format, args...)
	b.no = append(b.no, n)
}

// items are those of all transactions.
func (b *book) items() []*entry {
	var all []*entry
	for _, tx := range b.transactions {
		all = append(all, tx.items...)
	}
	return all
}

var errNothing = errors.New("nothing in it is an item to buy")

// finish writes the draft. What package plan would refuse is taken out again and
// said not to be understood, with what is wrong with it.
func (b *book) finish() (*Draft, error) {
	for {
		b.transactions = slices.DeleteFunc(b.transactions, func(tx *transaction) bool { return len(tx.items) == 0 })
		if len(b.transactions) == 0 {
			d := b.draft(nil)
			return d, errNothing
		}
		src, at := b.write()
		_, err := plan.Load(src, "plan.yaml", nil)
		var faults plan.Errors
		if err == nil {
			return b.draft(src), nil
		}
		some := false
		if errors.As(err, &faults) {
			gone := map[*entry]bool{}
			for _, fault := range faults {
				if e := at[fault.Pos.Line]; e != nil && !gone[e] {
					b.takeOut(e, fault)
					gone[e], some = true, true
				}
			}
		}
		if !some {
			return b.draft(nil), fmt.Errorf("the plan made of it does not load: %w", err)
		}
	}
}

func (b *book) draft(src []byte) *Draft {
	byLine := func(x, y Note) int { return x.Line - y.Line }
	slices.SortStableFunc(b.yes, byLine)
	slices.SortStableFunc(b.no, byLine)
	return &Draft{YAML: src, Understood: b.yes, NotUnderstood: b.no}
}

// takeOut removes the entry or head field that a fault is in.
func (b *book) takeOut(e *entry, fault *plan.Error) {
	why := fault.Msg
	if fault.Hint != "" {
		why += "; " + fault.Hint
	}
	b.yes = slices.DeleteFunc(b.yes, func(n Note) bool { return n.Line == e.note.Line && n.Part == e.note.Part })
	b.refused(e.note, "%s", why)
	same := func(x *entry) bool { return x == e }
	for _, tx := range b.transactions {
		tx.items = slices.DeleteFunc(tx.items, same)
	}
	b.offers = slices.DeleteFunc(b.offers, same)
	b.head = slices.DeleteFunc(b.head, func(f field) bool { return len(e.fields) == 1 && f == e.fields[0] && e.id == "" })
}

// write writes the plan, and says which entry each line is of.
func (b *book) write() ([]byte, map[int]*entry) {
	var out strings.Builder
	at, line := map[int]*entry{}, 0
	put := func(e *entry, format string, args ...any) {
		text := fmt.Sprintf(format, args...)
		out.WriteString(text + "\n")
		line++
		at[line] = e
	}
	for _, r := range b.remarks {
		put(nil, "# %s", r)
	}
	if len(b.no) > 0 {
		put(nil, "# Not understood, and so not in this plan:")
		for _, n := range b.no {
			put(nil, "#   line %d: %s (%s)", n.Line, oneLine(n.Part), oneLine(n.Text))
		}
	}
	put(nil, "plan: 1")
	for _, f := range b.head {
		put(&entry{note: b.noteOf(f), fields: []field{f}}, "%s: %s", f.key, f.value)
	}
	put(nil, "transactions:")
	for _, tx := range b.transactions {
		put(nil, "  - id: %s", scalar(tx.id))
		if tx.payWith != "" {
			put(nil, "    pay_with: %s", tx.payWith)
		}
		put(nil, "    items:")
		for _, e := range tx.items {
			put(e, "      - {id: %s%s}%s", scalar(e.id), inFlow(e.fields), e.comment())
		}
	}
	if len(b.offers) > 0 {
		put(nil, "offers:")
	}
	for _, e := range b.offers {
		put(e, "  - id: %s%s", scalar(e.id), e.comment())
		for _, f := range e.fields {
			put(e, "    %s: %s", f.key, f.value)
		}
	}
	return []byte(out.String()), at
}

// noteOf is where a head field comes from.
func (b *book) noteOf(f field) Note {
	for _, n := range b.yes {
		if strings.HasPrefix(n.Text, f.key+" ") {
			return n
		}
	}
	return Note{Part: f.key}
}

func (e *entry) comment() string {
	if e.remark == "" {
		return ""
	}
	return " # " + e.remark
}

func inFlow(fields []field) string {
	var b strings.Builder
	for _, f := range fields {
		b.WriteString(", " + f.key + ": " + f.value)
	}
	return b.String()
}

func oneLine(s string) string { return strings.Join(strings.Fields(clean(s)), " ") }

// clean replaces what no plan may have in a text by spaces.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == unicode.ReplacementChar || r == '\ufeff' {
			return ' '
		}
		return r
	}, s)
}

// scalar writes s as YAML: as it is where that reads as the same text, else in
// quotes.
func scalar(s string) string {
	plain := s != "" && strings.IndexFunc(s, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune(" .%_/+-", r)
	}) < 0 && !strings.ContainsAny(s[:1], " %-.") && strings.TrimSpace(s) == s
	if plain {
		var n yaml.Node
		if err := yaml.Load([]byte("["+s+"]"), &n); err == nil && len(n.Content) == 1 && len(n.Content[0].Content) == 1 {
			if v := n.Content[0].Content[0]; v.Value == s && v.Kind == yaml.ScalarNode && v.Tag != "!!null" {
				return s
			}
		}
	}
	quoted, err := json.Marshal(s) // what JSON quotes, YAML reads as the same text
	if err != nil {
		return `""`
	}
	return string(quoted)
}

func list(words []string) string {
	quoted := make([]string, len(words))
	for i, w := range words {
		quoted[i] = scalar(w)
	}
	return "[" + strings.Join(quoted, ", ") + "]"
}

// unique makes an id of a name that is not in taken, and adds it there.
func unique(name string, taken map[string]bool) string {
	var words []string
	for _, w := range strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		digit := unicode.IsDigit([]rune(w)[0])
		if len(words) > 0 && digit || len(words) == 3 { // up to the size
			break
		}
		if !digit {
			words = append(words, w)
		}
	}
	id := strings.Join(words, "-")
	if r := []rune(id); len(r) > 40 {
		id = string(r[:40])
	}
	if id == "" {
		id = "item"
	}
	return free(id, taken)
}

// free is id, or with a number behind it where that is taken.
func free(id string, taken map[string]bool) string {
	for base, n := id, 2; taken[id]; n++ {
		id = fmt.Sprintf("%s-%d", base, n)
	}
	taken[id] = true
	return id
}

// price writes an amount as a plan does.
func price(a money.Amount) string { return a.String() }
