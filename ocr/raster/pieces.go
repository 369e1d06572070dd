package raster

import "image"

// Piece is one connected piece of ink: its rectangle and number of pixels.
type Piece struct {
	X0, Y0, X1, Y1 int // X1 and Y1 are just outside
	Area           int
}

// W is the width of p in pixels.
func (p Piece) W() int { return p.X1 - p.X0 }

// H is the height of p in pixels.
func (p Piece) H() int { return p.Y1 - p.Y0 }

// run is a stretch of ink in one row.
type run struct{ x0, x1, y, label int32 }

// Pieces finds the connected pieces of ink (least or more, diagonals count) in mask,
// top to bottom. It works on runs, which are far fewer than pixels.
func Pieces(mask *image.Gray, least uint8) []Piece {
	w, h := mask.Rect.Dx(), mask.Rect.Dy()
	var runs []run
	parent := []int32{}
	find := func(a int32) int32 {
		for parent[a] != a {
			parent[a] = parent[parent[a]]
			a = parent[a]
		}
		return a
	}
	before, end := 0, 0 // the runs of the row above
	for y := range h {
		start := len(runs)
		row := mask.Pix[y*mask.Stride : y*mask.Stride+w]
		k := before
		for x := 0; x < w; x++ {
			if row[x] < least {
				continue
			}
			x0 := x
			for x < w && row[x] >= least {
				x++
			}
			r := run{int32(x0), int32(x), int32(y), -1}
			for k < end && runs[k].x1 < r.x0 {
				k++
			}
			for j := k; j < end && runs[j].x0 <= r.x1; j++ {
				root := find(runs[j].label)
				if r.label < 0 {
					r.label = root
				} else if a, b := find(r.label), root; a != b {
					parent[max(a, b)] = min(a, b)
				}
			}
			if r.label < 0 {
				r.label = int32(len(parent))
				parent = append(parent, r.label)
			}
			runs = append(runs, r)
		}
		before, end = start, len(runs)
	}
	return gather(runs, parent, find)
}

// gather adds the runs up to pieces.
func gather(runs []run, parent []int32, find func(int32) int32) []Piece {
	index := make([]int32, len(parent))
	for i := range index {
		index[i] = -1
	}
	var pieces []Piece
	for _, r := range runs {
		root := find(r.label)
		if index[root] < 0 {
			index[root] = int32(len(pieces))
			pieces = append(pieces, Piece{X0: int(r.x0), X1: int(r.x1), Y0: int(r.y), Y1: int(r.y) + 1})
		}
		p := &pieces[index[root]]
		p.X0, p.X1 = min(p.X0, int(r.x0)), max(p.X1, int(r.x1))
		p.Y1 = max(p.Y1, int(r.y)+1)
		p.Area += int(r.x1 - r.x0)
	}
	return pieces
}
