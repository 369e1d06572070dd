package ocr

import "testing"

func TestBeyond(t *testing.T) {
	line := func(y int, confidence float64, words ...string) Line {
		l := Line{Box: Box{X: 10, Y: y, W: 200, H: 20}, Readings: []Reading{{}}}
		for _, w := range words {
			l.Readings[0].Words = append(l.Readings[0].Words, Word{Text: w, Confidence: confidence})
		}
		return l
	}
	body := []Line{line(0, 0.9, "OATS", "4.29"), line(40, 0.9, "TOTAL", "4.29")}
	for _, c := range []struct {
		why   string
		other []Line
		turn  int
		want  bool
	}{
		{"the same lines", body, 0, false},
		{"print below", append(body[:2:2], line(200, 0.9, "STORE", "CREDIT", "1.50"), line(240, 0.9, "APPLIED", "TO", "ACCOUNT")), 0, true},
		{"one line may be a shadow", append(body[:2:2], line(200, 0.9, "STORE", "CREDIT")), 0, false},
		{"grain of a table", append(body[:2:2], line(200, 0.4, "ill", "iil"), line(240, 0.4, "lil", "iii")), 0, false},
		{"stars and rules", append(body[:2:2], line(200, 0.9, "*****", "-----"), line(240, 0.9, "=====", "....")), 0, false},
		{"the other way up", body, 2, true},
	} {
		p, other := Page{Lines: body}, Page{Lines: c.other, Turn: c.turn}
		if got := p.Beyond(&other); got != c.want {
			t.Errorf("%s: %v, want %v", c.why, got, c.want)
		}
	}
}
