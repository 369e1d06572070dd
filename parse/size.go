package parse

import (
	"slices"

	"tillproof/ocr"
)

// sizes finds sizes at the end of a name on a photo that were taken for amounts, "1.5l"
// as 1.51: a reader saw the letter, or the unit stands behind it, and the amounts above and
// below end further right.
func (p *parser) sizes() {
	for i := range p.rows {
		w := &p.rows[i]
		if w.exact || !w.tail.ok || w.tail.minus || w.tail.from != w.tail.at {
			continue
		}
		if unit := w.tail.flags; unit != "" {
			flag := slices.ContainsFunc(p.rows, func(v row) bool { return v.line != w.line && v.tail.ok && v.tail.flags == unit })
			if (weights[unit] != "" || unit == "GG") && !flag && p.leftOfAmounts(i) {
				w.tail, w.qty = tail{}, findQuantity(w.lx, len(w.lx)) // "SMOO.500 G"
				w.said = mark(foldWords(w.spoken(), nil), p.own, w.misread())
				w.sure = w.surelyRead(p)
			}
			continue
		}
		at := w.lx[w.tail.at].word
		size := w.sawLitres(&w.words[at])
		if size == "" || !p.leftOfAmounts(i) {
			continue
		}
		w.words = slices.Clone(w.words)
		w.words[at].Text = size
		p.relex(w)
		w.qty = findQuantity(w.lx, len(w.lx))
		w.said = mark(foldWords(w.spoken(), nil), p.own, w.misread())
		w.sure = w.surelyRead(p)
	}
}

// sawLitres is the size that a reader saw in word, "1.5l" for 1.51; "" for none.
func (w *row) sawLitres(word *ocr.Word) string {
	n := len(word.Text) - 1
	if n != 3 || word.Text[n] != '1' {
		return ""
	}
	size := word.Text[:n] + "l"
	for _, r := range w.line.Readings {
		for _, v := range r.Words {
			if v.Box == word.Box && v.Text == size {
				return size
			}
		}
	}
	for _, a := range word.Alternatives {
		if a.Text == size && a.Cost < clearCost {
			return size
		}
	}
	return ""
}

// leftOfAmounts reports whether the amount of row i ends left of the nearest amounts
// above and below it.
func (p *parser) leftOfAmounts(i int) bool {
	const far = 4
	right := func(j int) bool {
		v := &p.rows[j]
		return v.lx[v.tail.at].x1-p.rows[i].lx[p.rows[i].tail.at].x1 >= 2*charWidth(&v.lx[v.tail.at])
	}
	seen := false
	for j := i - 1; j >= max(0, i-far); j-- {
		if p.rows[j].tail.ok {
			if seen = true; !right(j) {
				return false
			}
			break
		}
	}
	for j := i + 1; j < min(len(p.rows), i+far+1); j++ {
		if p.rows[j].tail.ok {
			return right(j)
		}
	}
	return seen
}
