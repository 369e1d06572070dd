package plan

import (
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
)

// readNames reads what the store's till prints for items: by an item's code or
// its name, a list of texts.
func readNames(r *reader, n *yaml.Node, s *Store) {
	s.Names = map[string][]string{}
	m := r.target(n)
	var fields []field
	if m.Kind == yaml.MappingNode {
		for i := 0; i+1 < len(m.Content); i += 2 {
			key := m.Content[i].Value
			fields = append(fields, field{key, func(n *yaml.Node) {
				var texts []string
				intoList(r, key, &texts, parseName).read(n)
				s.Names[nameKey(key)] = append(s.Names[nameKey(key)], texts...)
			}})
		}
	}
	r.object(n, "names", nil, fields...)
}

// nameKey makes a code of 14 digits of one that is a code, and small letters of
// a name.
func nameKey(s string) string {
	if code, err := ParseGTIN(s); err == nil {
		return code
	}
	return strings.ToLower(strings.Join(strings.Fields(s), " "))
}

// teachNames gives the plan's items the texts that its store file knows of.
func (l *loader) teachNames() {
	names := l.plan.Store.Names
	if len(names) == 0 {
		return
	}
	for _, tx := range l.plan.Transactions {
		for _, items := range [][]*Item{tx.Items, tx.Candidates} {
			for _, it := range items {
				for _, key := range []string{it.Code, nameKey(it.Name)} {
					for _, text := range names[key] {
						if !slices.Contains(it.PrintsAs, text) {
							it.PrintsAs = append(it.PrintsAs, text)
						}
					}
				}
			}
		}
	}
}
