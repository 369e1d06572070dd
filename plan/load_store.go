package plan

import (
	"errors"
	"io/fs"
	"regexp"
	"slices"

	"go.yaml.in/yaml/v4"
)

// readStore reads the plan's store: a name, or {file: …}.
func (l *loader) readStore(n *yaml.Node) {
	s := &l.plan.Store
	if l.target(n).Kind != yaml.MappingNode {
		s.Name, _ = read(l.reader, n, "store", parseName)
		return
	}
	var at *yaml.Node
	if !l.object(n, "store", []string{"file"}, field{"file", func(n *yaml.Node) {
		at = n
		s.File, _ = read(l.reader, n, "file", parseName)
	}}) || s.File == "" {
		return
	}
	if l.open == nil {
		l.fault(at, "write the store's name instead", "store files cannot be read here")
		return
	}
	src, err := l.open(s.File)
	if err != nil {
		var path *fs.PathError
		if errors.As(err, &path) {
			err = path.Err
		}
		l.fault(at, "its path is relative to the plan's folder", "the store file %s cannot be read: %v", quote(s.File), err)
		return
	}
	r := &reader{file: s.File, faults: &l.faults}
	if root := r.parse(src, "store"); root != nil {
		l.readStoreFile(r, root)
	}
}

var subdivision = regexp.MustCompile(`^[A-Z]{2}-[A-Z0-9]{1,3}$`)

func jurisdiction(s string) (string, error) {
	if !subdivision.MatchString(s) {
		return "", wrong{quote(s) + " is no jurisdiction", "write the code of ISO 3166-2, like US-MI"}
	}
	return s, nil
}

func (l *loader) readStoreFile(r *reader, n *yaml.Node) {
	s := &l.plan.Store
	r.object(n, "a store file", nil,
		into(r, "name", &s.Name, parseName),
		field{"tax", func(n *yaml.Node) { l.storeTaxes = true; l.readTaxes(r, n, false) }},
		into(r, "jurisdiction", &s.Jurisdiction, jurisdiction),
		field{"policy", func(n *yaml.Node) { readPolicy(r, n, &s.Policy) }},
		intoList(r, "aisles", &s.Aisles, parseID),
		field{"prints", func(n *yaml.Node) { readPrints(r, n, s) }},
		field{"names", func(n *yaml.Node) { readNames(r, n, s) }},
	)
}

func readPolicy(r *reader, n *yaml.Node, p *Policy) {
	rounding := ""
	r.object(n, "policy", nil,
		field{"order", func(n *yaml.Node) {
			ok := r.list(n, "order", func(n *yaml.Node) {
				if s, ok := read(r, n, "order", oneOf(StepShelf, StepStore, StepMaker)); ok {
					p.Order = append(p.Order, s)
				}
			})
			sorted := slices.Sorted(slices.Values(p.Order))
			if ok && !slices.Equal(sorted, []Step{StepMaker, StepShelf, StepStore}) {
				r.fault(n, "write them as the till takes them, like [maker, store, shelf]", "order must name shelf, store and maker once each")
			}
		}},
		into(r, "measure", &p.Measure, oneOf(measures...)),
		into(r, "app_with_store_coupon", &p.OneAppOrStoreSlot, not),
		into(r, "coupon_on_free_unit", &p.NoCouponOnFreeUnit, not),
		into(r, "overage", &p.Overage, yesNo),
		into(r, "percent_rounding", &rounding, oneOf("line", "unit")),
		into(r, "cash_rounding", &p.CashRounding, positive),
		into(r, "price_match_within", &p.PriceMatchDays, days),
		into(r, "adjust_within", &p.AdjustDays, days),
	)
	p.RoundByUnit = rounding == "unit"
}

var printed = []string{"coupon", "store offer", "credit", "gift card", "points", "void", "subtotal", "tax", "total", "items"}

func readPrints(r *reader, n *yaml.Node, s *Store) {
	s.Prints = map[string][]string{}
	var fields []field
	for _, key := range printed {
		fields = append(fields, field{key, func(n *yaml.Node) {
			var texts []string
			intoList(r, key, &texts, parseName).read(n)
			s.Prints[key] = texts
		}})
	}
	r.object(n, "prints", nil, fields...)
}
