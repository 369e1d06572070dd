// Package report shows bills, receipts and results to a person as plain text.
//
// Bill, Receipt and Result each return one page of text, at most 80 columns
// wide and readable without colour. What a program reads is the JSON of the
// types themselves.
package report

import (
	"strings"
	"unicode/utf8"

	"tillproof/money"
)

const (
	pageWidth   = 80
	amountWidth = 10 // the right column: "-123456.78"
)

// page collects lines of text: words on the left, an amount on the right.
type page struct{ b strings.Builder }

func (p *page) String() string { return p.b.String() }

// text writes s wrapped, every line indented.
func (p *page) text(indent int, s string) {
	for _, line := range Wrap(s, pageWidth-indent) {
		p.b.WriteString(strings.Repeat(" ", indent) + line + "\n")
	}
}

// item writes s wrapped behind a mark such as "1." that stands out to its left.
func (p *page) item(indent int, mark, s string) {
	hang := indent + utf8.RuneCountInString(mark) + 1
	for i, line := range Wrap(s, pageWidth-hang) {
		if i == 0 {
			p.b.WriteString(strings.Repeat(" ", indent) + mark + " " + line + "\n")
		} else {
			p.b.WriteString(strings.Repeat(" ", hang) + line + "\n")
		}
	}
}

// row writes s on the left, wrapped where it is long, and right at the right
// edge of its last line.
func (p *page) row(indent int, s, right string) {
	lines := Wrap(s, pageWidth-indent-amountWidth-1)
	for i, line := range lines {
		line = strings.Repeat(" ", indent) + line
		if i == len(lines)-1 {
			line += strings.Repeat(" ", max(1, pageWidth-utf8.RuneCountInString(line)-utf8.RuneCountInString(right))) + right
		}
		p.b.WriteString(line + "\n")
	}
}

func (p *page) amount(indent int, s string, a money.Amount) { p.row(indent, s, a.String()) }

func (p *page) blank() { p.b.WriteByte('\n') }

// Wrap breaks s at spaces into lines of at most width runes; a longer word
// stands on a line of its own.
func Wrap(s string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		switch {
		case line == "":
			line = word
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) <= width:
			line += " " + word
		default:
			lines = append(lines, line)
			line = word
		}
	}
	return append(lines, line)
}

// count says "1 unit" or "7 units".
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return itoa(n) + " " + many
}
