package plan

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
	"go.yaml.in/yaml/v4/plugin/loaderlimits"
)

// What a plan may be at most. A plan that a person wrote is far below all of
// these; they keep a hostile or broken file from taking the machine's time.
const (
	maxSource       = 1 << 20 // bytes in a file
	maxDepth        = 32      // lists and fields inside one another
	maxNodes        = 200_000 // values read, those behind aliases each time
	maxFaults       = 500     // faults reported
	maxCompared     = 20_000  // words compared with a misspelt one, for all hints together
	maxTransactions = 366
	maxOffers       = 500
	maxItems        = 5_000  // in all transactions
	maxUnits        = 20_000 // in all transactions
	maxQuantity     = 9_999
)

// Load reads the plan file src, whose name is file, and validates it. A store
// file that the plan names is read through open, which gets the path as the
// plan has it: relative to the plan. The error is of type Errors and holds every
// fault found.
func Load(src []byte, file string, open func(path string) ([]byte, error)) (*Plan, error) {
	l := newLoader(file, open)
	return l.load(l.reader.parse(src, "plan"))
}

// Parse makes a YAML node of the plan file src, whose name is file, and
// validates nothing yet: LoadNode does. The error is of type Errors.
func Parse(src []byte, file string) (*yaml.Node, error) {
	l := newLoader(file, nil)
	root := l.reader.parse(src, "plan")
	if len(l.faults) > 0 {
		return nil, l.faults
	}
	return root, nil
}

// LoadNode is Load for a plan that was parsed already, and perhaps put together
// of several files: fileOf names the one that a node is of, "" for file.
func LoadNode(root *yaml.Node, file string, fileOf func(n *yaml.Node) string, open func(path string) ([]byte, error)) (*Plan, error) {
	l := newLoader(file, open)
	l.reader.fileOf = fileOf
	return l.load(root)
}

func newLoader(file string, open func(path string) ([]byte, error)) *loader {
	l := &loader{plan: &Plan{File: file}, open: open}
	l.reader = &reader{file: file, faults: &l.faults}
	return l
}

// load makes the plan of its node, nil where there is none for a fault that is
// noted already.
func (l *loader) load(root *yaml.Node) (*Plan, error) {
	if root != nil {
		l.readPlan(root)
		if !l.cut {
			l.resolve()
		}
	}
	if len(l.faults) == 0 {
		l.checkSize()
	}
	if len(l.faults) == 0 {
		l.teachNames()
		l.plan.Prepare()
		l.checkSums()
	}
	if len(l.faults) > 0 {
		return nil, inOrder(l.faults, l.plan.File)
	}
	return l.plan, nil
}

// loader is the state of one Load.
type loader struct {
	*reader
	plan   *Plan
	open   func(path string) ([]byte, error)
	faults Errors
	refs   []ref
	// storeTaxes: the taxes come from the store file, which may name tags that
	// this plan does not have.
	storeTaxes bool
	itemCount  int
	unitCount  int
	// cut: there were too many transactions or offers, and not all were read.
	cut bool
}

// reader reads the nodes of one file. Every fault is collected, none stops it.
type reader struct {
	file string
	// fileOf names the file of a node where there are several; nil: all are of file.
	fileOf func(n *yaml.Node) string
	faults *Errors
	nodes  int
	// compared counts the words that were compared with misspelt ones.
	compared int
}

// fault notes what is wrong at n and what to do.
func (r *reader) fault(n *yaml.Node, hint, format string, args ...any) {
	r.faultAt(r.pos(n), hint, format, args...)
}

func (r *reader) faultAt(pos Pos, hint, format string, args ...any) {
	*r.faults = append(*r.faults, &Error{Pos: pos, Msg: fmt.Sprintf(format, args...), Hint: hint})
}

func (r *reader) pos(n *yaml.Node) Pos {
	pos := Pos{File: r.file, Line: n.Line, Col: n.Column}
	if r.fileOf != nil {
		if file := r.fileOf(n); file != "" {
			pos.File = file
		}
	}
	return pos
}

// parse makes nodes of src, or notes why it cannot. what is "plan" or "store".
func (r *reader) parse(src []byte, what string) *yaml.Node {
	if len(src) > maxSource {
		r.faultAt(Pos{File: r.file}, "check that it is the right file", "the %s file has %d.%d MB; at most 1 MB is read",
			what, len(src)>>20, len(src)>>10&1023*10>>10)
		return nil
	}
	if len(bytes.TrimSpace(src)) == 0 {
		r.faultAt(Pos{File: r.file}, "check that it is the right file", "the %s file is empty", what)
		return nil
	}
	var doc yaml.Node
	err := yaml.Load(src, &doc, yaml.WithPlugin(loaderlimits.New(loaderlimits.DepthValue(maxDepth))))
	if err != nil {
		r.syntax(err, src, what)
		return nil
	}
	if len(doc.Content) != 1 {
		r.faultAt(Pos{File: r.file}, "check that it is the right file", "the %s file has nothing in it", what)
		return nil
	}
	return doc.Content[0]
}

// syntax reports that a file is no YAML, in its writer's words where possible.
func (r *reader) syntax(err error, src []byte, what string) {
	pos, msg := Pos{File: r.file}, err.Error()
	var one *yaml.LoadError
	if errors.As(err, &one) {
		msg = strings.TrimPrefix(one.Message, "yaml: ")
		if one.Mark.Line > 0 {
			pos.Line, pos.Col = one.Mark.Line, one.Mark.Column
		}
	}
	hint := "check indentation, colons, quotes and brackets here and in the line before"
	switch {
	case strings.Contains(msg, "no documents"):
		msg, hint = "there is nothing in it", "check that it is the right file"
	case strings.Contains(msg, "found multiple"):
		msg, hint = "it holds more than one document", "keep one, without a line of --- between"
	case strings.Contains(msg, "max depth"):
		msg, hint = fmt.Sprintf("it is nested more than %d deep", maxDepth), "no plan needs that; check the brackets"
	case strings.Contains(msg, "UTF-8"), strings.Contains(msg, "control characters"), bytes.IndexByte(src, 0) >= 0:
		hint = "save it as plain text in UTF-8"
	case strings.Contains(msg, "unknown anchor"):
		hint = "put &name before the value that *name is to repeat, or write the value out"
	case strings.Contains(msg, "cannot start any token"):
		msg = "a value cannot begin with this character"
		hint = "indent with spaces, not tabs; put a value that begins with @, %, ` or a tab in quotes"
	}
	r.faultAt(pos, hint, "the %s file is no YAML: %s", what, msg)
}

// inOrder sorts faults by place, the plan's own first, drops what is said twice
// (an alias is read wherever it is used) and cuts a very long list.
func inOrder(faults Errors, first string) Errors {
	slices.SortStableFunc(faults, func(a, b *Error) int {
		if a.Pos.File != b.Pos.File {
			return cmp.Or(btoi(b.Pos.File == first)-btoi(a.Pos.File == first), cmp.Compare(a.Pos.File, b.Pos.File))
		}
		return cmp.Or(cmp.Compare(a.Pos.Line, b.Pos.Line), cmp.Compare(a.Pos.Col, b.Pos.Col))
	})
	faults = slices.CompactFunc(faults, func(a, b *Error) bool { return *a == *b })
	if len(faults) > maxFaults {
		faults = append(faults[:maxFaults:maxFaults], &Error{
			Pos: faults[maxFaults].Pos, Msg: "there are more faults than are listed",
			Hint: "put right those above and try again",
		})
	}
	return faults
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}
