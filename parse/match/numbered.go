package match

import (
	"slices"
	"strings"

	"tillproof/parse"
)

func (c *content) newCut(r *parse.Receipt, l *parse.Line) {
	cut := Cut{Lines: c.number(l.N), Name: l.Name, Of: l.Of, Known: l.Amount != nil, Names: -1}
	if cut.Name == "" {
		cut.Name = l.Text
	}
	if of := cut.Of; of > 0 && c.byLine[of] > 0 {
		cut.ByCode = l.Code != "" && l.Code == c.entries[c.byLine[of]-1].Code
		if cut.ByCode && c.sharesCode(of) {
			cut.ByCode = false
			if goodsBetween(r, of, l.N) {
				cut.Of = 0 // neither its place nor its number says whose it is
			}
		}
	}
	if !cut.ByCode && l.Code == "" {
		if of := c.numbered(r, cut.Name); of > 0 {
			cut.Of, cut.ByCode = of, true
		}
	}
	if l.Amount != nil {
		cut.Off = l.Amount.Neg()
	}
	c.cuts = append(c.cuts, cut)
}

// sharesCode reports whether other goods than those of a line have its number.
func (c *content) sharesCode(line int) bool {
	e := &c.entries[c.byLine[line]-1]
	return slices.ContainsFunc(c.entries, func(other Entry) bool { return other.Code == e.Code && other.Name != e.Name })
}

// goodsBetween reports whether goods or a sum stand between two lines, whichever is above.
func goodsBetween(r *parse.Receipt, a, b int) bool {
	return slices.ContainsFunc(r.Lines[min(a, b):max(a, b)-1], func(l parse.Line) bool {
		return l.Kind == parse.LineItem || l.Kind == parse.LineSubtotal || l.Kind == parse.LineTotal
	})
}

// shortNumber is the length under which a number says nothing of goods.
const shortNumber = 4

// numbered is the line of the only goods whose print has a number of the text of a
// deduction, as that of loose produce: “CPN 4626 3.60 OFF”. 0 for none.
func (c *content) numbered(r *parse.Receipt, text string) (line int) {
	for _, number := range strings.Fields(text) {
		if len(number) < shortNumber || strings.Trim(number, "0123456789") != "" {
			continue
		}
		for i := range c.entries {
			e := &c.entries[i]
			if !slices.ContainsFunc(e.Lines, func(n int) bool { return slices.Contains(strings.Fields(r.Line(n).Text), number) }) {
				continue
			}
			if line > 0 && c.entries[c.byLine[line]-1].Name != e.Name {
				return 0
			}
			line = e.Lines[0]
		}
	}
	return line
}
