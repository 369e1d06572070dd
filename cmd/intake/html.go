package intake

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// cellGap parts what stood in different columns of a table.
const cellGap = "    "

// smallHTML is how much HTML is parsed in this process. There are pages for
// which parsing takes time that grows faster than their square (16 kB: 0.1 s,
// 128 kB: 5 s); a larger one is left to a child, which is ended in time.
const smallHTML = 16 << 10

const savePage = "print it to a PDF and name that"

// htmlLines is what the HTML in f shows.
func (f file) htmlLines(ctx context.Context) (string, error) {
	if len(f.data) > smallHTML {
		parts, err := f.inChild(ctx, childHTML, "HTML")
		if err != nil || len(parts) == 0 {
			return "", err
		}
		return parts[0].Text, nil
	}
	answer := readHTML(f.data)
	if answer.Msg != "" {
		return "", f.refuse(answer.Hint, "%s", answer.Msg)
	}
	return answer.Parts[0].Text, nil
}

// readHTML is what a child answers to HTML.
func readHTML(data []byte) reply {
	text, err := htmlText(data)
	if err != nil {
		return reply{Msg: fmt.Sprintf("the HTML cannot be read: %v", err), Hint: savePage}
	}
	return reply{Parts: []Part{{Text: text}}}
}

// htmlText is what a web page or the HTML of an e-mail shows, as lines of text:
// a row of a table is a line, its cells far apart.
func htmlText(data []byte) (string, error) {
	doc, err := html.Parse(bytes.NewReader(data))
	if err != nil {
		return "", err
	}
	return strings.Join(linesOf(doc), "\n"), nil
}

// linesOf is what n shows, as lines without empty ones at the ends.
func linesOf(n *html.Node) []string {
	var f flow
	for c := range n.ChildNodes() {
		f.node(c, false)
	}
	f.end()
	return trimLines(f.lines)
}

// flow gathers text into lines.
type flow struct {
	lines []string
	line  strings.Builder
	// space says that white space came after what is in line.
	space bool
}

// end ends the line, where there is one.
func (f *flow) end() {
	if line := strings.TrimRight(f.line.String(), " "); line != "" {
		f.lines = append(f.lines, line)
	}
	f.line.Reset()
	f.space = false
}

// blank ends the line and leaves one empty.
func (f *flow) blank() {
	f.end()
	if n := len(f.lines); n > 0 && f.lines[n-1] != "" {
		f.lines = append(f.lines, "")
	}
}

// gap parts what comes from what is in the line.
func (f *flow) gap() {
	if f.line.Len() > 0 {
		f.line.WriteString(cellGap)
		f.space = false
	}
}

// text adds text; white space is as good as one space, but for print that is
// laid out with it.
func (f *flow) text(s string, laidOut bool) {
	for _, r := range s {
		switch {
		case laidOut && r == '\n':
			f.end()
		case unseen(r):
		case unicode.IsSpace(r) && laidOut:
			f.line.WriteByte(' ')
		case unicode.IsSpace(r):
			f.space = true
		default:
			if f.space && f.line.Len() > 0 {
				f.line.WriteByte(' ')
			}
			f.space = false
			f.line.WriteRune(r)
		}
	}
}

// unseen characters take no room: joiners, marks, hyphens that may be.
func unseen(r rune) bool {
	return r == '\u00ad' || r == '\u034f' || r >= '\u200b' && r <= '\u200f' || r == '\u2060' || r == '\ufeff'
}

// blocks are the elements that stand on lines of their own.
var blocks = []atom.Atom{
	atom.Address, atom.Article, atom.Aside, atom.Blockquote, atom.Body, atom.Center, atom.Dd, atom.Div, atom.Dl, atom.Dt,
	atom.Fieldset, atom.Figure, atom.Footer, atom.Form, atom.H1, atom.H2, atom.H3, atom.H4, atom.H5, atom.H6, atom.Header,
	atom.Html, atom.Li, atom.Main, atom.Nav, atom.Ol, atom.P, atom.Pre, atom.Section, atom.Td, atom.Th, atom.Tr, atom.Ul,
}

// node adds what n shows. laidOut says that white space counts.
func (f *flow) node(n *html.Node, laidOut bool) {
	if n.Type == html.TextNode {
		f.text(n.Data, laidOut)
		return
	}
	style := styleOf(n)
	if n.Type != html.ElementNode || hidden(n, style) {
		return
	}
	switch {
	case n.DataAtom == atom.Br:
		f.end()
		return
	case n.DataAtom == atom.Hr:
		f.blank()
		return
	case n.DataAtom == atom.Table:
		f.end()
		f.lines = append(f.lines, tableLines(n)...)
		return
	case sideBySide(style):
		f.end()
		f.lines = append(f.lines, rowLines(slices.Collect(n.ChildNodes()))...)
		return
	}
	laidOut = laidOut || n.DataAtom == atom.Pre || strings.Contains(style, "white-space:pre")
	block := slices.Contains(blocks, n.DataAtom) && !strings.Contains(style, "display:inline")
	switch {
	case n.DataAtom == atom.P:
		f.blank()
	case block:
		f.end()
	case strings.Contains(style, "float:right"), strings.Contains(style, "display:inline-block"), strings.Contains(style, "display:table-cell"):
		f.gap()
	}
	for c := range n.ChildNodes() {
		f.node(c, laidOut)
	}
	if block {
		f.end()
	}
}

// styleOf is the style attribute of n in lower case and without spaces.
func styleOf(n *html.Node) string {
	for _, a := range n.Attr {
		if a.Key == "style" {
			return strings.ToLower(strings.Join(strings.Fields(a.Val), ""))
		}
	}
	return ""
}

// sideBySide reports whether a style puts an element's children beside each other.
func sideBySide(style string) bool {
	return (strings.Contains(style, "display:flex") || strings.Contains(style, "display:table-row")) &&
		!strings.Contains(style, "flex-direction:column")
}

// hidden reports whether n is not seen, or is crossed out: a price that no
// longer holds.
func hidden(n *html.Node, style string) bool {
	switch n.DataAtom {
	case atom.Head, atom.Script, atom.Style, atom.Template, atom.Title, atom.Svg, atom.Object, atom.Select, atom.Textarea,
		atom.S, atom.Del, atom.Strike:
		return true
	}
	for _, a := range n.Attr {
		if a.Key == "hidden" {
			return true
		}
	}
	for _, s := range []string{"display:none", "visibility:hidden", "mso-hide:all", "max-height:0", "line-through"} {
		if i := strings.Index(style, s); i >= 0 && !strings.HasPrefix(style[i+len(s):], ".") {
			return true // but not for "max-height:0.5em"
		}
	}
	return false
}

// tableLines are the rows of a table, wherever its groups of rows put them.
func tableLines(table *html.Node) []string {
	var lines []string
	for c := range table.ChildNodes() {
		if c.Type != html.ElementNode || hidden(c, styleOf(c)) {
			continue
		}
		switch c.DataAtom {
		case atom.Tr:
			lines = append(lines, rowLines(slices.Collect(c.ChildNodes()))...)
		case atom.Tbody, atom.Thead, atom.Tfoot:
			lines = append(lines, tableLines(c)...)
		case atom.Caption:
			lines = append(lines, linesOf(c)...)
		}
	}
	return lines
}

// rowLines sets cells beside each other. Where several have more lines than
// one, and not as many, they are columns of text that have nothing to do with
// each other, and come one after the other.
func rowLines(cells []*html.Node) []string {
	var columns [][]string
	long, even := 0, true
	for _, c := range cells {
		if c.Type == html.ElementNode && hidden(c, styleOf(c)) {
			continue
		}
		var f flow
		f.node(c, false)
		f.end()
		lines := trimLines(f.lines)
		if len(lines) == 0 {
			continue
		}
		if len(lines) > 1 {
			long++
		}
		even = even && (len(columns) == 0 || len(lines) == len(columns[0]))
		columns = append(columns, lines)
	}
	if long > 1 && !even {
		return slices.Concat(columns...)
	}
	var rows []string
	for i := 0; ; i++ {
		var row []string
		more := false
		for _, c := range columns {
			if i < len(c) {
				more = true
				if c[i] != "" {
					row = append(row, c[i])
				}
			}
		}
		if !more {
			return rows
		}
		rows = append(rows, strings.Join(row, cellGap))
	}
}

// trimLines cuts empty lines off both ends.
func trimLines(lines []string) []string {
	for len(lines) > 0 && lines[0] == "" {
		lines = lines[1:]
	}
	for len(lines) > 0 && lines[len(lines)-1] == "" {
		lines = lines[:len(lines)-1]
	}
	return lines
}
