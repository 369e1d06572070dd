package ocr

import "testing"

// TestMend: the halves of an amount are joined; the number that ends a name and
// an amount without its nought, in a column of its own, are not, though an engine
// puts them close together where a wide gap was cut down.
func TestMend(t *testing.T) {
	word := func(text string, x, w int) Word { return Word{Text: text, Box: Box{X: x, Y: 10, W: w, H: 32}} }
	tests := []struct {
		name  string
		words []Word
		gaps  []int
		want  string
	}{
		{"a point and cents apart", []Word{word("OATS", 17, 80), word("1.", 125, 36), word("99", 176, 40)}, nil, "OATS 1.99"},
		{"a whole number and cents apart", []Word{word("OATS", 17, 80), word("1", 125, 18), word(".99", 160, 60)}, nil, "OATS 1.99"},
		{"two columns far apart", []Word{word("TAX", 17, 60), word("1", 90, 18), word(".98", 260, 60)}, nil, "TAX 1 .98"},
		{"two columns whose gap was cut down", []Word{word("TAX", 17, 250), word("1", 125, 31), word(".00", 186, 81)}, []int{168}, "TAX 1 .00"},
		{"a gap elsewhere in the line", []Word{word("OATS", 17, 80), word("1", 225, 18), word(".99", 260, 60)}, []int{150}, "OATS 1.99"},
	}
	for _, tt := range tests {
		if got := (Reading{Words: mend(tt.words, tt.gaps)}).Text(); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
	}
}
