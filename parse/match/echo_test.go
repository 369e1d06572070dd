package match

import (
	"testing"

	"tillproof/parse"
)

// Words of a photo's names that differ in a letter from the same words of other lines are put
// right, where these and the word beside them say what it was.
func TestEchoedWords(t *testing.T) {
	type line struct {
		kind  parse.LineKind
		name  string
		plain []string
	}
	item, cut := parse.LineItem, parse.LineDeduction
	for _, c := range []struct {
		why   string
		lines []line
		want  string // of the last
	}{
		{"rung one by one", []line{{item, "RILL SALT BUTT", nil}, {item, "RILL SALT BUTT", nil}, {item, "RAILL SALT BUTT", nil}}, "RILL SALT BUTT"},
		{"the other read for sure", []line{{item, "RILL SALT BUTT", []string{"RILL"}}, {item, "RAILL SALT BUTT", nil}}, "RILL SALT BUTT"},
		{"the other as doubtful", []line{{item, "RILL SALT BUTT", nil}, {item, "RAILL SALT BUTT", nil}}, "RAILL SALT BUTT"},
		{"itself read for sure", []line{{item, "BLUE SOAP BAR", []string{"BLUE"}}, {item, "GLUE SOAP BAR", []string{"GLUE"}}}, "GLUE SOAP BAR"},
		{"twice otherwise", []line{{item, "GLUE SOAP BAR", nil}, {item, "BLUE SOAP BAR", []string{"BLUE"}}, {item, "GLUE SOAP BAR", nil}}, "GLUE SOAP BAR"},
		{"beside another word", []line{{item, "RILL SALT BUTT", []string{"RILL"}}, {item, "RAILL OLIVE SOAP", nil}}, "RAILL OLIVE SOAP"},
		{"two others differ", []line{{item, "RILL SALT BUTT", []string{"RILL"}}, {item, "RALL SALT BUTT", []string{"RALL"}}, {item, "RELL SALT BUTT", nil}}, "RELL SALT BUTT"},
		{"a word of tills", []line{{cut, "INSTANT SAVINGS", nil}, {cut, "INSTANI SAVINGS", nil}}, "INSTANT SAVINGS"},
		{"a number", []line{{item, "7214 SOFT ROLLS", nil}, {item, "7215 SOFT ROLLS", nil}}, "7215 SOFT ROLLS"},
	} {
		r := &parse.Receipt{}
		var content content
		for i, l := range c.lines {
			r.Lines = append(r.Lines, parse.Line{N: i + 1, Kind: l.kind, Name: l.name, Plain: l.plain, Photo: 1})
			if l.kind == item {
				content.entries = append(content.entries, Entry{Lines: []int{i + 1}, Name: l.name})
			} else {
				content.cuts = append(content.cuts, Cut{Lines: []int{i + 1}, Name: l.name})
			}
		}
		content.echoed(r)
		got := ""
		if n := len(content.entries); n > 0 {
			got = content.entries[n-1].Name
		} else {
			got = content.cuts[len(content.cuts)-1].Name
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.why, got, c.want)
		}
		r.Lines[len(r.Lines)-1].Photo = 0
		content.entries, content.cuts = []Entry{{Lines: []int{len(r.Lines)}, Name: c.lines[len(c.lines)-1].name}}, nil
		if content.echoed(r); content.entries[0].Name != c.lines[len(c.lines)-1].name {
			t.Errorf("%s: a text's words were changed", c.why)
		}
	}
}
