package lines

// What makes print tall: it is clearly higher and narrower than most print of the paper.
const (
	tallHeight = 1.35
	tallWidth  = 0.72
	mostWiden  = 2.2
)

// slender is the width of a chain's letters for their height.
func (c *chain) slender() float64 {
	wide := make([]float64, len(c.letters))
	for i, p := range c.letters {
		wide[i] = float64(p.W())
	}
	return median(wide) / max(c.middleHeight(), 1)
}

// usualPrint is how wide for their height the letters of most lines are, and how high
// their capitals.
func (l *Layout) usualPrint() (width, height float64) {
	var widths, heights []float64
	for _, c := range l.lines {
		if len(c.letters) >= 4 {
			widths, heights = append(widths, c.slender()), append(heights, c.height)
		}
	}
	return median(widths), median(heights)
}

// widen is how much wider than they are c's letters have to be shown to be of the usual
// form, 1 where they need not be.
func (c *chain) widen(usual, height float64) float64 {
	width := c.slender()
	if len(c.letters) < 4 || c.height < tallHeight*height || width > tallWidth*usual || width == 0 {
		return 1
	}
	return min(usual/width, mostWiden)
}
