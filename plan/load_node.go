package plan

import (
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
)

// field is one key that a mapping may have, and what reads its value.
type field struct {
	key  string
	read func(n *yaml.Node)
}

// follow returns the node that n stands for: itself, or what an alias repeats.
// Aliases multiply, so what is read is counted, and too much of it is refused.
func (r *reader) follow(n *yaml.Node) *yaml.Node {
	r.nodes++
	if r.nodes == maxNodes {
		r.fault(n, "write the values out, or make several plans of it", "the file has more than %d values, those repeated with *name counted each time", maxNodes)
	}
	for n.Kind == yaml.AliasNode {
		n = n.Alias
	}
	return n
}

// tooMuch reports whether reading on has no use: more values than a plan may
// have, or more faults than are reported.
func (r *reader) tooMuch() bool { return r.nodes >= maxNodes || len(*r.faults) > maxFaults }

// near is nearest for as long as a file has few misspelt words: comparing many
// with many would take long.
func (r *reader) near(word string, known []string) string {
	if r.compared += len(known); r.compared > maxCompared {
		return ""
	}
	return nearest(word, known)
}

// object reads the mapping n, an object that a message calls what, with the
// fields it may have and the keys it must have. It reports whether n is a mapping.
func (r *reader) object(n *yaml.Node, what string, required []string, fields ...field) bool {
	n = r.follow(n)
	if r.tooMuch() {
		return false
	}
	if n.Kind != yaml.MappingNode {
		r.fault(n, "write it as {key: value, …} or as indented lines of key: value", "%s must have fields (%s)", what, keyList(fields))
		return false
	}
	seen := map[string]*yaml.Node{}
	for i := 0; i+1 < len(n.Content) && !r.tooMuch(); i += 2 {
		key, value := r.follow(n.Content[i]), n.Content[i+1]
		at := slices.IndexFunc(fields, func(f field) bool { return f.key == key.Value })
		switch {
		case key.Kind != yaml.ScalarNode:
			r.fault(key, "put a quoted value in place of {…} or […]", "%s has a key that is no word", what)
		case at < 0:
			r.unknownKey(key, what, fields)
		case seen[key.Value] != nil:
			r.fault(key, "keep one of the two", "%s has %q twice, first in line %d", what, key.Value, seen[key.Value].Line)
		default:
			seen[key.Value] = key
			fields[at].read(value)
		}
	}
	for _, key := range required {
		if seen[key] == nil {
			r.fault(n, "add "+key+": …", "%s has no %q", what, key)
		}
	}
	return true
}

func (r *reader) unknownKey(key *yaml.Node, what string, fields []field) {
	hint := "it may have " + keyList(fields)
	if key.Value == "<<" {
		hint = "merge keys are no part of YAML 1.2: write the fields out"
	} else if key.Value != "" && strings.Trim(key.Value, "0123456789") == "" {
		hint = "write amounts with a point, such as 1.89: within braces a comma ends the field"
	} else if near := r.near(key.Value, keys(fields)); near != "" {
		hint = "did you mean " + near + "?"
	}
	r.fault(key, hint, "%s has no field %s", what, quote(key.Value))
}

func keys(fields []field) []string {
	var all []string
	for _, f := range fields {
		all = append(all, f.key)
	}
	return all
}

func keyList(fields []field) string { return strings.Join(keys(fields), ", ") }

// list calls read with each entry of the sequence n. It reports whether n is one.
func (r *reader) list(n *yaml.Node, what string, read func(n *yaml.Node)) bool {
	n = r.follow(n)
	if r.tooMuch() {
		return false
	}
	if n.Kind != yaml.SequenceNode {
		hint := "write [a, b] or one line each that begins with -"
		if n.Kind == yaml.ScalarNode && n.Value != "" && len(n.Value) < 40 {
			hint = "write [" + n.Value + "]"
		}
		r.fault(n, hint, "%s must be a list", what)
		return false
	}
	for _, entry := range n.Content {
		if r.tooMuch() {
			return false
		}
		read(entry)
	}
	return true
}

// empty reports whether n is a value left out, as in "offers:".
func empty(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Tag == "!!null" && n.Value == ""
}

// scalar returns the text of n whatever YAML would take it for: 1.10 stays
// 1.10, yes stays yes, and a code keeps its leading zeros.
func (r *reader) scalar(n *yaml.Node, what string) (string, bool) {
	n = r.follow(n)
	if r.tooMuch() {
		return "", false
	}
	switch {
	case n.Kind != yaml.ScalarNode:
		r.fault(n, "write one value after the colon, without brackets and lines below", "%s must be a single value", what)
	case n.Style&yaml.TaggedStyle != 0:
		r.fault(n, "leave out the word that begins with !", "%s has a YAML tag, %s; plans have none", what, n.Tag)
	case strings.TrimSpace(n.Value) == "":
		r.fault(n, "write a value after the colon, or leave out the whole line", "%s has no value", what)
	default:
		return strings.TrimSpace(n.Value), true
	}
	return "", false
}

// read reads the scalar n with parse, and notes why where it cannot.
func read[T any](r *reader, n *yaml.Node, what string, parse func(s string) (T, error)) (value T, ok bool) {
	s, ok := r.scalar(n, what)
	if !ok {
		return value, false
	}
	value, err := parse(s)
	if err == nil {
		return value, true
	}
	hint := ""
	if w, ok := err.(wrong); ok {
		hint = w.hint
	}
	r.fault(r.target(n), hint, "%s: %s", what, err)
	return value, false
}

func (r *reader) target(n *yaml.Node) *yaml.Node {
	for n.Kind == yaml.AliasNode {
		n = n.Alias
	}
	return n
}

// into is read for a field: the value goes to *to where it is right.
func into[T any](r *reader, key string, to *T, parse func(s string) (T, error)) field {
	return field{key, func(n *yaml.Node) {
		if v, ok := read(r, n, key, parse); ok {
			*to = v
		}
	}}
}

// intoNew is into for a field whose absence matters.
func intoNew[T any](r *reader, key string, to **T, parse func(s string) (T, error)) field {
	return field{key, func(n *yaml.Node) {
		if v, ok := read(r, n, key, parse); ok {
			*to = &v
		}
	}}
}

// intoList is into for a list of such values.
func intoList[T any](r *reader, key string, to *[]T, parse func(s string) (T, error)) field {
	return field{key, func(n *yaml.Node) {
		r.list(n, key, func(n *yaml.Node) {
			if v, ok := read(r, n, "an entry of "+key, parse); ok {
				*to = append(*to, v)
			}
		})
	}}
}
