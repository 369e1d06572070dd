package raster

import (
	"cmp"
	"image"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestPieces(t *testing.T) {
	for _, c := range []struct {
		why   string
		least uint8
		rows  []string
		want  []Piece
	}{
		{"a blank", Weak, []string{"...", "..."}, nil},
		{"a dot and a bar", Weak, []string{"#...", "...#", "...#"}, []Piece{{0, 0, 1, 1, 1}, {3, 1, 4, 3, 2}}},
		{"corners touch", Weak, []string{"#..#", ".##.", "#..#"}, []Piece{{0, 0, 4, 3, 6}}},
		{"corners do not touch", Weak, []string{"#...", "..##"}, []Piece{{0, 0, 1, 1, 1}, {2, 1, 4, 2, 2}}},
		{"a bowl closes below", Weak, []string{"#.#.#", "#.#.#", "#####"}, []Piece{{0, 0, 5, 3, 11}}},
		{"a ring with a dot in it", Weak, []string{"#####", "#...#", "#.#.#", "#...#", "#####"}, []Piece{{0, 0, 5, 5, 16}, {2, 2, 3, 3, 1}}},
		{"weak print joins", Weak, []string{"#+#"}, []Piece{{0, 0, 3, 1, 3}}},
		{"weak print parts", Ink, []string{"#+#"}, []Piece{{0, 0, 1, 1, 1}, {2, 0, 3, 1, 1}}},
	} {
		if got := Pieces(inked(c.rows...), c.least); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.why, got, c.want)
		}
	}
	if p := (Piece{2, 3, 7, 4, 5}); p.W() != 5 || p.H() != 1 {
		t.Errorf("%d by %d", p.W(), p.H())
	}
}

// flooded finds the pieces by flooding each from its first pixel.
func flooded(mask *image.Gray, least uint8) (all []Piece) {
	seen := map[image.Point]bool{}
	for y := range mask.Rect.Dy() {
		for x := range mask.Rect.Dx() {
			p := Piece{X0: x, Y0: y, X1: x + 1, Y1: y + 1}
			todo := []image.Point{{x, y}}
			for len(todo) > 0 {
				at := todo[len(todo)-1]
				todo = todo[:len(todo)-1]
				if !at.In(mask.Rect) || seen[at] || mask.GrayAt(at.X, at.Y).Y < least {
					continue
				}
				seen[at] = true
				p.X0, p.X1, p.Y1 = min(p.X0, at.X), max(p.X1, at.X+1), max(p.Y1, at.Y+1)
				p.Area++
				for dy := -1; dy <= 1; dy++ {
					for dx := -1; dx <= 1; dx++ {
						todo = append(todo, at.Add(image.Pt(dx, dy)))
					}
				}
			}
			if p.Area > 0 {
				all = append(all, p)
			}
		}
	}
	return all
}

// Any picture has the pieces that flooding finds, from sparse to dense.
func TestPiecesOfAnyPicture(t *testing.T) {
	order := func(a, b Piece) int {
		return cmp.Or(cmp.Compare(a.Y0, b.Y0), cmp.Compare(a.X0, b.X0), cmp.Compare(a.X1, b.X1), cmp.Compare(a.Y1, b.Y1), cmp.Compare(a.Area, b.Area))
	}
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 2))
		g := New(1+r.IntN(40), 1+r.IntN(30))
		share := r.Float64()
		for i := range g.Pix {
			if r.Float64() < share {
				g.Pix[i] = uint8(1 + r.IntN(2))
			}
		}
		got, want := Pieces(g, Ink), flooded(g, Ink)
		if !slices.IsSortedFunc(got, func(a, b Piece) int { return cmp.Compare(a.Y0, b.Y0) }) {
			t.Fatalf("seed %d: not from top to bottom: %v", seed, got)
		}
		slices.SortFunc(got, order)
		slices.SortFunc(want, order)
		if !slices.Equal(got, want) {
			t.Fatalf("seed %d: %v, want %v", seed, got, want)
		}
	}
}
