package planpage

import (
	"strings"
	"unicode/utf8"
)

const (
	textWidth   = 80
	columnWidth = 13
)

// wrap breaks s at spaces into lines of at most width runes.
func wrap(s string, width int) []string {
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

// paragraph is s wrapped, every line indented.
func paragraph(b *strings.Builder, indent int, s string) {
	for _, line := range wrap(s, textWidth-indent) {
		b.WriteString(strings.Repeat(" ", indent) + line + "\n")
	}
}

// columns writes a label and values at the right edges of columns behind it; a
// long label takes lines of its own above.
func columns(b *strings.Builder, indent, left int, label string, values []string) {
	lines := wrap(label, left-indent-1)
	for i, line := range lines {
		line = strings.Repeat(" ", indent) + line
		if i == len(lines)-1 {
			line += strings.Repeat(" ", max(0, left-utf8.RuneCountInString(line)))
			for _, v := range values {
				line += strings.Repeat(" ", max(1, columnWidth-utf8.RuneCountInString(v))) + v
			}
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
}

// short is s cut to n runes.
func short(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return s
}
