package packet

import (
	"strings"
	"unicode/utf8"

	"tillproof/report"
)

// Document is a packet's content in order. Text and PDF show the same.
type Document struct {
	Title  string
	blocks []block
}

type kind int

const (
	titleBlock kind = iota
	headingBlock
	paraBlock
	rowBlock
	monoBlock
	pictureBlock
)

// block is one piece of a document; right is a row's second half.
type block struct {
	kind        kind
	text, right string
	picture     Picture
}

func (d *Document) title(s string)   { d.blocks = append(d.blocks, block{kind: titleBlock, text: s}) }
func (d *Document) heading(s string) { d.blocks = append(d.blocks, block{kind: headingBlock, text: s}) }
func (d *Document) para(s string)    { d.blocks = append(d.blocks, block{kind: paraBlock, text: s}) }
func (d *Document) row(s, right string) {
	d.blocks = append(d.blocks, block{rowBlock, s, right, Picture{}})
}
func (d *Document) mono(s string) { d.blocks = append(d.blocks, block{kind: monoBlock, text: s}) }
func (d *Document) picture(p Picture) {
	d.blocks = append(d.blocks, block{kind: pictureBlock, picture: p})
}

const width = 80

// Text is the document for a terminal or an e-mail, at most 80 columns wide.
func (d *Document) Text() string {
	var b strings.Builder
	for _, bl := range d.blocks {
		switch bl.kind {
		case titleBlock:
			wrap(&b, bl.text)
			b.WriteString(strings.Repeat("=", min(width, utf8.RuneCountInString(bl.text))) + "\n\n")
		case headingBlock:
			b.WriteByte('\n')
			wrap(&b, bl.text)
			b.WriteString(strings.Repeat("-", min(width, utf8.RuneCountInString(bl.text))) + "\n")
		case paraBlock:
			for _, line := range strings.Split(strings.TrimRight(bl.text, "\n"), "\n") {
				if strings.TrimSpace(line) == "" {
					b.WriteByte('\n') // between paragraphs
				}
				wrap(&b, line)
			}
		case rowBlock:
			textRow(&b, bl.text, bl.right)
		case monoBlock:
			b.WriteString(bl.text + "\n")
		case pictureBlock:
			wrap(&b, "["+bl.picture.Caption+": "+bl.picture.File+"]")
		}
	}
	return b.String()
}

func wrap(b *strings.Builder, s string) {
	for _, l := range report.Wrap(s, width) {
		b.WriteString(l + "\n")
	}
}

// textRow writes s on the left and right at the right edge, on a line of its
// own where both do not fit.
func textRow(b *strings.Builder, s, right string) {
	indent := s[:len(s)-len(strings.TrimLeft(s, " "))]
	free := max(20, width-utf8.RuneCountInString(right)-2-len(indent))
	lines := report.Wrap(s, free)
	for i, l := range lines {
		b.WriteString(indent + l)
		if i == len(lines)-1 {
			b.WriteString(strings.Repeat(" ", max(2, width-len(indent)-utf8.RuneCountInString(l)-utf8.RuneCountInString(right))) + right)
		}
		b.WriteByte('\n')
	}
}
