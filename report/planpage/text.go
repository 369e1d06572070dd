package planpage

import (
	"strings"
	"unicode/utf8"

	"tillproof/report"
)

const (
	textWidth   = 80
	columnWidth = 13
)

// paragraph is s wrapped, every line indented.
func paragraph(b *strings.Builder, indent int, s string) {
	for _, line := range report.Wrap(s, textWidth-indent) {
		b.WriteString(strings.Repeat(" ", indent) + line + "\n")
	}
}

// columns writes a label and values at the right edges of columns behind it; a
// long label takes lines of its own above.
func columns(b *strings.Builder, indent, left int, label string, values []string) {
	lines := report.Wrap(label, left-indent-1)
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
